//! What the blocks mean: which words may stand where, how the spindle runs, where the tool goes.
//!
//! This is a reader of its own: it knows the machine's record and the plan's heights, and nothing
//! of the ways the program was written from.

use crate::fault::{Fault, Reason};
use crate::read::{Block, Word};
use crate::words::{AFTER_THE_MODAL_LINE, axes, modal_words};
use kernel::cutting::{FaceJob, Kind, MachineTool, Pace, Paces, XReads, outside_tolerance};
use kernel::units::Length;

/// Rapid moves keep this far above part and clamp, and so does everything with the spindle at rest.
const CLEAR_M: f64 = 1e-3;
/// Air around the clamp that belongs to it.
const CLAMP_AIR_M: f64 = 0.5e-3;
/// A feed may be above the record's by its last decimal alone.
const FEED_ROUNDING: f64 = 1e-6;

/// One move of the tool.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Move {
    pub(crate) line: usize,
    pub(crate) rapid: bool,
    /// The middle of the cutter's end, or of the nose's; `None` where the start is not known.
    pub(crate) from_m: Option<[f64; 3]>,
    pub(crate) to_m: [f64; 3],
    /// Of a feed move.
    pub(crate) feed_m_per_s: f64,
    pub(crate) spindle_on: bool,
}

/// A program as moves.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Moves {
    pub(crate) moves: Vec<Move>,
    /// The first move of the finishing pass.
    pub(crate) finishing_from: usize,
    /// How often it stops.
    pub(crate) stops: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Spindle {
    Unknown,
    AtRest,
    On,
}

struct Reading<'a> {
    job: &'a FaceJob,
    machine: &'a MachineTool,
    paces: &'a Paces,
    /// Starts of the spindle in the whole program.
    starts: usize,
    started: usize,
    spindle: Spindle,
    /// A stop since the spindle came to rest.
    stopped: bool,
    stops: usize,
    coolant_off: bool,
    ended: bool,
    position_m: [Option<f64>; 3],
    feed_m_per_s: Option<f64>,
    moves: Vec<Move>,
    finishing_from: usize,
    faults: Vec<Fault>,
}

/// Reads blocks as a control would, and refuses what it would do wrongly.
///
/// # Errors
/// Everything that is wrong without a part being cut.
pub(crate) fn moves(
    blocks: &[Block],
    job: &FaceJob,
    machine: &MachineTool,
    paces: &Paces,
) -> Result<Moves, Vec<Fault>> {
    let starts = blocks.iter().flat_map(|b| &b.words).filter(|word| word.text == "M3").count();
    let mut reading = Reading {
        job,
        machine,
        paces,
        starts,
        started: 0,
        spindle: Spindle::Unknown,
        stopped: false,
        stops: 0,
        coolant_off: false,
        ended: false,
        position_m: [None; 3],
        feed_m_per_s: None,
        moves: Vec::new(),
        finishing_from: 0,
        faults: Vec::new(),
    };
    if starts > 2 {
        reading.faults.push(Fault { line: None, reason: Reason::Starts(starts), place: None });
    }
    if let Some(first) = blocks.first() {
        reading.modal_line(first);
    }
    for block in blocks.iter().skip(1) {
        reading.block(block);
    }
    if !reading.ended || starts == 0 {
        reading.faults.push(Fault { line: None, reason: Reason::NoEnd, place: None });
    }
    if reading.faults.is_empty() {
        let Reading { moves, finishing_from, stops, .. } = reading;
        Ok(Moves { moves, finishing_from, stops })
    } else {
        Err(reading.faults)
    }
}

impl Reading<'_> {
    fn fault(&mut self, line: usize, reason: Reason) {
        self.faults.push(Fault::at_line(line, reason));
    }

    fn fault_at(&mut self, line: usize, reason: Reason, place_m: [f64; 3]) {
        let place = Some(place_m.map(Length::m));
        self.faults.push(Fault { line: Some(line), reason, place });
    }

    fn modal_line(&mut self, block: &Block) {
        let wanted = modal_words(self.machine);
        let has = |text: &str| block.words.iter().filter(|word| word.text == text).count();
        if wanted.iter().all(|text| has(text) == 1) && block.words.len() == wanted.len() {
            return;
        }
        let begins = block.words.iter().any(|word| wanted.contains(&word.text.as_str()));
        let reason = if begins {
            Reason::ModalLine { wanted: wanted.join(" ") }
        } else {
            Reason::BeforeModalLine
        };
        self.fault(block.line, reason);
    }

    fn block(&mut self, block: &Block) {
        let line = block.line;
        if self.ended {
            return self.fault(line, Reason::AfterEnd);
        }
        if !self.words_are_right(block) {
            return;
        }
        let of = |letter: char| block.words.iter().find(|word| word.letter == letter);
        let alone = block.words.len() == 1;
        match (of('G'), of('M')) {
            (Some(motion), None) => self.motion(block, motion),
            (None, Some(m)) if m.text == "M3" => match of('S').filter(|_| block.words.len() == 2) {
                Some(speed) => self.start(line, speed),
                None => self.fault(line, Reason::Incomplete("M3 and S belong in one block, alone")),
            },
            (None, Some(m)) if alone => self.function(line, &m.text),
            (_, Some(m)) => self.fault(line, Reason::NotAlone(m.text.clone())),
            (None, None) if of('S').is_some() => {
                self.fault(line, Reason::Incomplete("S changes only where M3 stands beside it"));
            }
            (None, None) if of('F').is_some() && alone => {
                self.fault(line, Reason::Incomplete("F stands beside G1"));
            }
            (None, None) => self.fault(line, Reason::NoMotionWord),
        }
    }

    /// Known words, none twice, points where they belong.
    fn words_are_right(&mut self, block: &Block) -> bool {
        let before = self.faults.len();
        for (i, word) in block.words.iter().enumerate() {
            let Word { letter, text, .. } = word;
            if block.words[..i].iter().any(|other| other.letter == *letter) {
                self.fault(block.line, Reason::Doubled(letter.to_string()));
            }
            let known = match letter {
                'G' | 'M' => AFTER_THE_MODAL_LINE.contains(&text.as_str()),
                'S' | 'F' => true,
                axis => axes(self.machine).contains(axis),
            };
            if !known {
                self.fault(block.line, Reason::UnknownWord(text.clone()));
            } else if *letter == 'S' && (word.has_point() || text.contains('-')) {
                self.fault(block.line, Reason::Number(text.clone()));
            } else if !matches!(letter, 'G' | 'M' | 'S') && !word.has_point() {
                self.fault(block.line, Reason::NoPoint(text.clone()));
            }
        }
        self.faults.len() == before
    }

    fn function(&mut self, line: usize, text: &str) {
        match text {
            "M0" => {
                if self.spindle != Spindle::AtRest {
                    self.fault(line, Reason::StopWhileTurning);
                }
                if self.position_m[2].is_some_and(|z_m| z_m < self.job.top_m() + CLEAR_M) {
                    self.fault(line, Reason::StopInTheWay);
                }
                (self.stopped, self.stops) = (true, self.stops + 1);
            }
            "M5" => (self.spindle, self.stopped) = (Spindle::AtRest, false),
            "M9" => self.coolant_off = true,
            _ => {
                if self.spindle != Spindle::AtRest || !self.coolant_off {
                    self.fault(line, Reason::NoEnd);
                }
                self.ended = true;
            }
        }
    }

    /// Where the last start begins the finishing pass.
    fn pace(&self) -> Pace {
        if self.started == self.starts { self.paces.finish } else { self.paces.rough }
    }

    fn start(&mut self, line: usize, speed: &Word) {
        if self.spindle == Spindle::On {
            self.fault(line, Reason::SpindleTurns);
        }
        if !self.stopped {
            self.fault(line, Reason::NoStop);
        }
        self.spindle = Spindle::On;
        self.started += 1;
        self.finishing_from = self.moves.len();
        let wanted = self.pace().rpm;
        if (speed.value - wanted).abs() > 1e-9 {
            self.fault(line, Reason::SpindleSpeed { is: speed.value, wanted });
        }
    }

    fn motion(&mut self, block: &Block, motion: &Word) {
        let (line, rapid) = (block.line, motion.text == "G0");
        let unit_m = self.machine.units.unit().to_m();
        let mut to_m = self.position_m;
        let (mut across, mut along) = (false, false);
        for word in &block.words {
            match word.letter {
                'X' => (to_m[0], across) = (Some(self.across_m(word.value * unit_m)), true),
                'Y' => (to_m[1], across) = (Some(word.value * unit_m), true),
                'Z' => (to_m[2], along) = (Some(word.value * unit_m), true),
                'F' if rapid => {
                    return self.fault(line, Reason::Incomplete("a rapid move has no feed"));
                }
                'F' => self.feed_m_per_s = Some(word.value * unit_m / 60.0),
                _ => {}
            }
        }
        if !(across || along) {
            return self.fault(line, Reason::Incomplete("no axis"));
        }
        if matches!(self.machine.kind, Kind::Lathe(_)) && across {
            to_m[1] = Some(0.0);
        }
        let from_m = whole(self.position_m);
        if from_m.is_none() && !self.first_moves(line, rapid, across, along, to_m) {
            return;
        }
        self.position_m = to_m;
        let Some(to_m) = whole(to_m) else { return };
        let step = Move {
            line,
            rapid,
            from_m,
            to_m,
            feed_m_per_s: self.feed_m_per_s.unwrap_or_default(),
            spindle_on: self.spindle == Spindle::On,
        };
        if rapid {
            self.rapid(&step, across, along);
        } else {
            self.feed(&step);
        }
        self.keeps_out(&step);
        self.moves.push(step);
    }

    /// X of the nose's middle from that of its edge towards the axis.
    fn across_m(&self, x_m: f64) -> f64 {
        match self.machine.kind {
            Kind::Mill(_) => x_m,
            Kind::Lathe(tool) => match tool.x_reads {
                XReads::Diameter => 0.5 * x_m + tool.nose_radius.to_m(),
                XReads::Radius => x_m + tool.nose_radius.to_m(),
            },
        }
    }

    /// Z alone and high; then the others at once.
    fn first_moves(
        &mut self,
        line: usize,
        rapid: bool,
        across: bool,
        along: bool,
        to_m: [Option<f64>; 3],
    ) -> bool {
        let high = to_m[2].is_some_and(|z_m| z_m >= self.high_m());
        let is_first = self.position_m[2].is_none();
        let right = if is_first { along && !across } else { across && !along };
        let complete = is_first || whole(to_m).is_some();
        if rapid && high && right && complete {
            return true;
        }
        self.fault(line, Reason::FirstMove);
        false
    }

    fn clamp_top_m(&self) -> f64 {
        self.job.land_top_m() + self.machine.fixture.clamp_height.to_m()
    }

    /// Above part and clamp.
    fn high_m(&self) -> f64 {
        let clamped = self.machine.fixture.clamp_radius > Length::ZERO;
        let top_m = self.job.top_m();
        (if clamped { top_m.max(self.clamp_top_m()) } else { top_m }) + CLEAR_M
    }

    fn rapid(&mut self, step: &Move, across: bool, along: bool) {
        let z_m = step.to_m[2];
        if across && along {
            return self.fault_at(step.line, Reason::RapidMixed, step.to_m);
        }
        let rises = step.from_m.is_some_and(|from| from[2] <= z_m);
        let least_m = match (across, rises) {
            (true, _) => self.high_m(),
            (false, true) => return,
            (false, false) => self.job.top_m() + CLEAR_M,
        };
        if z_m < least_m {
            let (is, least) = (Length::m(z_m), Length::m(least_m));
            self.fault_at(step.line, Reason::RapidLow { is, least }, step.to_m);
        }
    }

    fn feed(&mut self, step: &Move) {
        if self.feed_m_per_s.is_none() {
            self.fault(step.line, Reason::NoFeed);
        }
        let lowest_m = lowest_m(step);
        if !step.spindle_on {
            if lowest_m < self.job.top_m() + CLEAR_M {
                let reason = Reason::SpindleAtRest(Length::m(lowest_m));
                self.fault_at(step.line, reason, step.to_m);
            }
            return;
        }
        let most = self.pace().feed.to_m_per_s();
        let is = step.feed_m_per_s;
        if !(is > 0.0 && is <= most * (1.0 + FEED_ROUNDING)) {
            let per_min = |m_per_s: f64| m_per_s * 60e3;
            self.fault(step.line, Reason::Feed { is: per_min(is), most: per_min(most) });
        }
    }

    /// Clamp, holder, axis, and what is below the part.
    fn keeps_out(&mut self, step: &Move) {
        let (job, fixture) = (self.job, self.machine.fixture);
        let (reach_m, holder_m) = match self.machine.kind {
            Kind::Mill(cutter) => (cutter.reach.to_m(), 0.5 * cutter.holder_diameter.to_m()),
            Kind::Lathe(tool) => (tool.reach.to_m(), tool.holder_width.to_m()),
        };
        let (lowest_m, nearest_m) = (lowest_m(step), nearest_to_axis_m(step));
        let outer_m = self.machine.nose().outer_m();
        let place_m = step.to_m;
        let least_m = job.floor_m() - outside_tolerance(job, self.machine).to_m();
        if lowest_m < least_m {
            let (is, least) = (Length::m(lowest_m), Length::m(job.floor_m()));
            self.fault_at(step.line, Reason::BelowAll { is, least }, place_m);
        }
        if lowest_m + reach_m < job.top_m() {
            self.fault_at(step.line, Reason::Holder("part"), place_m);
        }
        let crosses = |at_m: f64| at_m < outer_m && lowest_m < self.high_m();
        if matches!(self.machine.kind, Kind::Lathe(_))
            && (crosses(place_m[0]) || step.from_m.is_some_and(|from| crosses(from[0])))
        {
            self.fault_at(step.line, Reason::PastAxis, place_m);
        }
        if fixture.clamp_radius <= Length::ZERO {
            return;
        }
        let clamp_m = fixture.clamp_radius.to_m() + CLAMP_AIR_M;
        if lowest_m < self.clamp_top_m() && nearest_m - outer_m < clamp_m {
            let (is, least) = (Length::m(nearest_m - outer_m), Length::m(clamp_m));
            self.fault_at(step.line, Reason::Clamp { is, least }, place_m);
        }
        if lowest_m + reach_m < self.clamp_top_m() && nearest_m - holder_m < clamp_m {
            self.fault_at(step.line, Reason::Holder("clamp"), place_m);
        }
    }
}

fn whole(position_m: [Option<f64>; 3]) -> Option<[f64; 3]> {
    match position_m {
        [Some(x), Some(y), Some(z)] => Some([x, y, z]),
        _ => None,
    }
}

fn lowest_m(step: &Move) -> f64 {
    step.from_m.map_or(step.to_m[2], |from| from[2].min(step.to_m[2]))
}

/// How near the axis a move comes, in the plane.
fn nearest_to_axis_m(step: &Move) -> f64 {
    let [bx, by, _] = step.to_m;
    let [ax, ay, _] = step.from_m.unwrap_or(step.to_m);
    let (dx, dy) = (bx - ax, by - ay);
    let length_m2 = dx * dx + dy * dy;
    let along = if length_m2 > 0.0 { -(ax * dx + ay * dy) / length_m2 } else { 0.0 };
    let along = along.clamp(0.0, 1.0);
    (ax + along * dx).hypot(ay + along * dy)
}
