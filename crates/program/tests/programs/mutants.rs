//! Programs in which one number was changed, by chance, and what becomes of them.

use super::sample::titles;
use super::truth::{Harm, Plan, Spot, Step, harms, steps};
use kernel::cutting::{FaceJob, MachineTool};
use kernel::units::Length;
use program::{ProgramError, check, program};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// Numbers by chance, the same on every machine (splitmix64).
pub(super) struct Chance(u64);

impl Chance {
    pub(super) const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to below 1.
    fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn below(&mut self, count: usize) -> usize {
        (self.part() * count as f64) as usize
    }
}

/// A program, the plan it is for, and spots all over its face.
pub(super) struct Subject {
    job: FaceJob,
    machine: MachineTool,
    text: String,
    plan: Plan,
    spots: Vec<Spot>,
    /// Words that are changed: line and number of the word in it.
    words: Vec<(usize, usize)>,
    /// Those of them that are a Z.
    depths: Vec<(usize, usize)>,
}

/// What became of mutants.
#[derive(Debug, Default)]
pub(super) struct Count {
    pub(super) mutants: usize,
    pub(super) harmful: usize,
    pub(super) caught: usize,
    /// Harmless by the truth and given out.
    pub(super) passed: usize,
    /// Harmless by the truth and refused, by the first reason.
    pub(super) refused: BTreeMap<String, usize>,
    /// By kind of harm.
    pub(super) by_harm: BTreeMap<Harm, usize>,
    /// Harmful and given out: what was changed.
    pub(super) missed: Vec<String>,
}

impl Subject {
    pub(super) fn new(job: FaceJob, machine: MachineTool) -> Self {
        let text = program(&job, &machine, &titles(), Length::mm(0.5)).unwrap().text().to_owned();
        let plan = Plan::of(job.given(), &machine);
        assert!((plan.zero() - job.zero_height().to_mm()).abs() < 1e-9);
        let (mut words, mut depths) = (Vec::new(), Vec::new());
        for (line, block) in text.lines().enumerate() {
            if block.starts_with("G0") || block.starts_with("G1 ") {
                for (i, word) in block.split(' ').enumerate() {
                    if word.starts_with(['X', 'Y', 'Z']) {
                        words.push((line, i));
                    }
                    if word.starts_with('Z') {
                        depths.push((line, i));
                    }
                }
            }
        }
        let mut subject = Self { job, machine, text, plan, spots: Vec::new(), words, depths };
        subject.scatter();
        let steps = steps(&subject.text, &subject.machine);
        let unchanged = harms(&steps, &subject.spots, &subject.plan, &subject.machine);
        assert_eq!(unchanged, [], "the program itself");
        subject
    }

    /// Spots by chance over the face, and close along all its edges.
    fn scatter(&mut self) {
        let mut chance = Chance::new(2);
        let plan = &self.plan;
        let far = plan.farthest;
        let mut spots: Vec<Spot> = (0..6000)
            .filter_map(|_| {
                let [x, y] = [0, 1].map(|_| (2.0 * chance.part() - 1.0) * far);
                plan.spot(x, y)
            })
            .collect();
        for radius in [plan.inner + 1e-3, plan.land_radius - 1e-3, plan.land_radius + 1e-3] {
            for i in 0..1500 {
                let (sin, cos) = (TAU * (f64::from(i) + chance.part()) / 1500.0).sin_cos();
                spots.extend(plan.spot(radius * cos, radius * sin));
            }
        }
        let outline = self.job.outline().points_m();
        for i in 0..outline.len() {
            let (a, b) = (outline[i], outline[(i + 1) % outline.len()]);
            for _ in 0..20 {
                let (share, inward) = (chance.part(), 1.0 - 1e-5);
                let at = |axis: usize| (a[axis] + (b[axis] - a[axis]) * share) * 1e3 * inward;
                spots.extend(plan.spot(at(0), at(1)));
            }
        }
        self.spots = spots;
    }

    /// Spots where the changed moves go, and where they went.
    fn near(&self, chance: &mut Chance, old: &[Step], new: &[Step], line: usize) -> Vec<Spot> {
        let mut spots = Vec::new();
        let around = [old, new].into_iter().flatten().filter(|step| step.line == line);
        for step in around {
            for _ in 0..1500 {
                let at = step.at(chance.part());
                let (sin, cos) = (TAU * chance.part()).sin_cos();
                let off = 9.0 * chance.part();
                let [x, y] = if self.text.contains("G18") {
                    // Any direction: the part turns.
                    let radius = at[0] + 2.0 * (chance.part() - 0.5);
                    [radius * cos, radius * sin]
                } else {
                    [at[0] + off * cos, at[1] + off * sin]
                };
                spots.extend(self.plan.spot(x, y));
            }
        }
        spots
    }

    /// Changes one number by chance, from its last decimal to 40 mm. There are few words Z, so
    /// every third change is one of them.
    fn mutant(&self, chance: &mut Chance) -> (String, usize, String) {
        let depths = chance.below(3) == 0;
        let words = if depths { &self.depths } else { &self.words };
        let (line, place) = words[chance.below(words.len())];
        let mut lines: Vec<String> = self.text.lines().map(str::to_owned).collect();
        let mut words: Vec<String> = lines[line].split(' ').map(str::to_owned).collect();
        let old = words[place].clone();
        let sign = if chance.part() < 0.5 { -1.0 } else { 1.0 };
        let by = sign * 10f64.powf(-3.0 + 4.6 * chance.part());
        let number: f64 = old[1..].parse().unwrap();
        let mut new = format!("{}{:.3}", &old[..1], number + by);
        if new == old {
            new = format!("{}{:.3}", &old[..1], number + 0.001 * sign);
        }
        words[place].clone_from(&new);
        lines[line] = words.join(" ");
        (lines.join("\n") + "\n", line, format!("line {}: {old} to {new}", line + 1))
    }

    /// Makes so many mutants and looks what becomes of each.
    pub(super) fn tried(&self, chance: &mut Chance, mutants: usize, count: &mut Count) {
        let old = steps(&self.text, &self.machine);
        for _ in 0..mutants {
            let (text, line, change) = self.mutant(chance);
            let new = steps(&text, &self.machine);
            let mut spots = self.near(chance, &old, &new, line);
            spots.extend(&self.spots);
            let harms = harms(&new, &spots, &self.plan, &self.machine);
            let answer = check(&text, &self.job, &self.machine, Length::mm(0.5));
            count.mutants += 1;
            for harm in &harms {
                *count.by_harm.entry(*harm).or_default() += 1;
            }
            match (harms.is_empty(), answer) {
                (false, Err(ProgramError::Refused(_))) => {
                    count.harmful += 1;
                    count.caught += 1;
                }
                (false, Ok(_)) => {
                    count.harmful += 1;
                    count.missed.push(format!("{}: {change}: {harms:?}", self.machine.name));
                }
                (true, Ok(_)) => count.passed += 1,
                (true, Err(ProgramError::Refused(refused))) => {
                    let kind = kind(&format!("{:?}", refused.faults[0].reason));
                    *count.refused.entry(kind).or_default() += 1;
                }
                (_, Err(other)) => panic!("{change}: {other}"),
            }
        }
    }
}

/// The name of a reason.
fn kind(debug: &str) -> String {
    debug.chars().take_while(|c| c.is_alphanumeric()).collect()
}
