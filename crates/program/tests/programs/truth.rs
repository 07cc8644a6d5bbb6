//! What a program really does to a part, found without anything of the product but its inputs:
//! a reader of its own, the plan's heights worked out again, and the exact shape of the cutter at
//! scattered points in place of cells. Millimetres throughout.

use kernel::cutting::{FaceGiven, Kind, MachineTool, XReads};
use kernel::readings::Face;
use kernel::room::Outside;

/// Below this two heights are the same.
const SAME: f64 = 1e-6;

/// Why a program would be harm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Harm {
    /// The finished part is not the plan's.
    Part,
    /// The part at the stop to measure is not what it should be.
    Stop,
    /// A pass deeper than the record's.
    Pass,
    /// Cutter or holder meets the clamp.
    Clamp,
    /// Metal is touched by a rapid move or with the spindle at rest.
    Touch,
}

/// One move: from, to, rapid, spindle on, start of the spindle it belongs to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    from: [f64; 3],
    to: [f64; 3],
    rapid: bool,
    on: bool,
    start: usize,
    /// Line of the text, from 0.
    pub(super) line: usize,
}

impl Step {
    /// A place along it.
    pub(super) fn at(&self, share: f64) -> [f64; 3] {
        [0, 1, 2].map(|k| self.from[k] + (self.to[k] - self.from[k]) * share)
    }
}

/// A point of the face, with what was found there and what is wanted.
#[derive(Debug, Clone, Copy)]
pub(super) struct Spot {
    x: f64,
    y: f64,
    found: f64,
    /// Infinite where the face is left.
    target: f64,
    tolerance: f64,
    /// In the ring where the corner may leave metal up to the land.
    ring: bool,
    /// Inside the land: only not to be cut below zero.
    inside: bool,
}

/// The plan of a face, worked out again.
pub(super) struct Plan {
    pub(super) given: FaceGiven,
    zero: f64,
    land: [f64; 3],
    outside: [f64; 3],
    half_terrace: f64,
    ring_width: f64,
    shoulder: f64,
    step: f64,
    pub(super) inner: f64,
    pub(super) land_radius: f64,
    outline: Vec<[f64; 2]>,
    pub(super) farthest: f64,
}

/// The plane through three heights at the tips: `h = a + b x + c y`, by Cramer's rule.
fn plane(radius: f64, heights: [f64; 3], hand: f64) -> [f64; 3] {
    let at = |tip: usize| {
        let angle = -hand * (tip as f64) * 120f64.to_radians();
        [1.0, radius * angle.cos(), radius * angle.sin()]
    };
    let rows = [at(0), at(1), at(2)];
    let determinant = |m: [[f64; 3]; 3]| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
            - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = determinant(rows);
    [0, 1, 2].map(|column| {
        let mut with = rows;
        for (row, height) in with.iter_mut().zip(heights) {
            row[column] = height;
        }
        determinant(with) / whole
    })
}

impl Plan {
    pub(super) fn of(given: &FaceGiven, machine: &MachineTool) -> Self {
        let hand = if given.face == Face::Gear { 1.0 } else { -1.0 };
        // These samples cut the land and outside it.
        let zero = given.land_level.unwrap().to_mm();
        let step = zero - given.outside_level.unwrap().to_mm();
        let lower = |heights: [kernel::units::Length; 3]| heights.map(|h| h.to_mm() - zero);
        let land_radius = given.land_radius.to_mm();
        let (shoulder, root) = match given.shape {
            Outside::Step => (land_radius, step),
            Outside::Taper { start, root } => (start.to_mm(), root.to_mm()),
        };
        let half_terrace = match (machine.kind, given.shape) {
            (Kind::Mill(_), Outside::Taper { .. }) => 0.5 * given.terrace.to_mm(),
            _ => 0.0,
        };
        let corner = match machine.kind {
            Kind::Mill(cutter) => cutter.corner_radius.to_mm(),
            Kind::Lathe(tool) => tool.nose_radius.to_mm(),
        };
        // A circle of the corner's radius that stands on the low side meets the land's plane here.
        let drop = (root + half_terrace).min(corner);
        let ring_width = (2.0 * corner * drop - drop * drop).sqrt() + 0.12;
        let outline: Vec<[f64; 2]> =
            given.outline.iter().map(|p| [p.x.to_mm(), hand * p.y.to_mm()]).collect();
        Self {
            zero,
            land: plane(land_radius, lower(given.found.land), hand),
            outside: plane(given.reading_radius.to_mm(), lower(given.found.tip), hand),
            half_terrace,
            ring_width,
            shoulder,
            step,
            inner: given.land_inner_radius.to_mm(),
            land_radius,
            farthest: outline.iter().map(|p| p[0].hypot(p[1])).fold(0.0, f64::max),
            outline,
            given: given.clone(),
        }
    }

    /// By the angles under which the outline's points are seen.
    fn is_on(&self, x: f64, y: f64) -> bool {
        let mut turned = 0.0;
        for (i, a) in self.outline.iter().enumerate() {
            let b = self.outline[(i + 1) % self.outline.len()];
            let (a, b) = ([a[0] - x, a[1] - y], [b[0] - x, b[1] - y]);
            turned += (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1]);
        }
        turned.abs() > 3.0
    }

    fn target(&self, radius: f64) -> f64 {
        if radius < self.shoulder {
            return 0.0;
        }
        match self.given.shape {
            Outside::Step => -self.step,
            Outside::Taper { root, .. } => {
                let span = self.given.reading_radius.to_mm() - self.shoulder;
                let root = root.to_mm();
                -(root + (self.step - root) * (radius - self.shoulder) / span)
            }
        }
    }

    pub(super) fn spot(&self, x: f64, y: f64) -> Option<Spot> {
        let radius = x.hypot(y);
        if radius > self.farthest {
            return None;
        }
        if radius > self.land_radius && !self.is_on(x, y) {
            return None;
        }
        let at = |p: [f64; 3]| p[0] + p[1] * x + p[2] * y;
        let (inside, outside) = (radius < self.inner, radius >= self.land_radius);
        let tolerance = self.given.tolerance.to_mm()
            + if radius >= self.shoulder { self.half_terrace } else { 0.0 };
        Some(Spot {
            x,
            y,
            found: match (inside, outside) {
                (true, _) => 0.0,
                (_, true) => at(self.outside),
                _ => at(self.land),
            },
            target: self.target(radius),
            tolerance,
            ring: radius >= self.shoulder && radius <= self.shoulder + self.ring_width,
            inside,
        })
    }

    fn top(&self) -> f64 {
        let rise = |p: [f64; 3], radius: f64| p[0] + p[1].hypot(p[2]) * radius;
        rise(self.land, self.land_radius)
    }

    /// Height of the mid-plane, so that a test can see the zero is where it belongs.
    pub(super) fn zero(&self) -> f64 {
        self.zero
    }
}

/// Reads a program: by line, by blank, by first letter.
pub(super) fn steps(text: &str, machine: &MachineTool) -> Vec<Step> {
    let mut at = [f64::NAN; 3];
    let (mut on, mut start) = (false, 0);
    let mut steps = Vec::new();
    for (line, block) in text.lines().enumerate() {
        if block.starts_with(['(', '%']) {
            continue;
        }
        let (mut motion, from) = (None, at);
        for word in block.split(' ') {
            match word {
                "G0" => motion = Some(true),
                "G1" => motion = Some(false),
                "M3" => (on, start) = (true, start + 1),
                "M5" => on = false,
                _ => {}
            }
            let Ok(number) = word[1..].parse::<f64>() else { continue };
            let number = match machine.units {
                kernel::cutting::Units::Mm => number,
                kernel::cutting::Units::Inch => number * 25.4,
            };
            match (&word[..1], machine.kind) {
                ("X", Kind::Mill(_)) => at[0] = number,
                ("X", Kind::Lathe(tool)) => {
                    let edge = if tool.x_reads == XReads::Diameter { number / 2.0 } else { number };
                    (at[0], at[1]) = (edge + tool.nose_radius.to_mm(), 0.0);
                }
                ("Y", _) => at[1] = number,
                ("Z", _) => at[2] = number,
                _ => {}
            }
        }
        if let Some(rapid) = motion {
            steps.push(Step { from, to: at, rapid, on, start, line });
        }
    }
    steps
}

/// The shape of what cuts.
#[derive(Debug, Clone, Copy)]
struct Shape {
    outer: f64,
    corner: f64,
    turning: bool,
}

impl Shape {
    fn of(machine: &MachineTool) -> Self {
        match machine.kind {
            Kind::Mill(cutter) => Self {
                outer: 0.5 * cutter.diameter.to_mm(),
                corner: cutter.corner_radius.to_mm(),
                turning: false,
            },
            Kind::Lathe(tool) => Self {
                outer: tool.nose_radius.to_mm(),
                corner: tool.nose_radius.to_mm(),
                turning: true,
            },
        }
    }

    /// Height above its end at a distance from its middle.
    fn above(&self, distance: f64) -> f64 {
        if distance > self.outer {
            return f64::INFINITY;
        }
        let into_corner = distance - (self.outer - self.corner);
        if into_corner <= 0.0 {
            return 0.0;
        }
        self.corner - (self.corner.powi(2) - into_corner.powi(2)).max(0.0).sqrt()
    }

    /// How low a move comes over a point: exact where it is level or upright, else the lowest of
    /// many places along it.
    fn over(&self, step: &Step, x: f64, y: f64) -> f64 {
        let (x, y) = if self.turning { (x.hypot(y), 0.0) } else { (x, y) };
        let [dx, dy, dz] = [0, 1, 2].map(|i| step.to[i] - step.from[i]);
        let square = dx * dx + dy * dy;
        let nearest = if square > 0.0 {
            (((x - step.from[0]) * dx + (y - step.from[1]) * dy) / square).clamp(0.0, 1.0)
        } else if dz < 0.0 {
            1.0
        } else {
            0.0
        };
        let at = |share: f64| {
            let (px, py) = (step.from[0] + dx * share, step.from[1] + dy * share);
            step.from[2] + dz * share + self.above((x - px).hypot(y - py))
        };
        let mut lowest = at(nearest);
        if square > 0.0 && dz != 0.0 {
            let (px, py) = (step.from[0] + dx * nearest, step.from[1] + dy * nearest);
            let distance = (x - px).hypot(y - py);
            if distance <= self.outer {
                lowest = (0..=400).map(|i| at(f64::from(i) / 400.0)).fold(lowest, f64::min);
            }
        }
        lowest
    }

    fn may_reach(&self, step: &Step, spot: &Spot) -> bool {
        let (x, y) = if self.turning { (spot.x.hypot(spot.y), 0.0) } else { (spot.x, spot.y) };
        let [ax, ay, _] = step.from;
        let [bx, by, _] = step.to;
        ax.min(bx) - self.outer <= x
            && x <= ax.max(bx) + self.outer
            && ay.min(by) - self.outer <= y
            && y <= ay.max(by) + self.outer
    }
}

/// Everything that is harm, at these spots.
pub(super) fn harms(
    steps: &[Step],
    spots: &[Spot],
    plan: &Plan,
    machine: &MachineTool,
) -> Vec<Harm> {
    let shape = Shape::of(machine);
    let mut harms = Vec::new();
    let starts = steps.iter().map(|step| step.start).max().unwrap_or(0);
    let top = plan.top().max(spots.iter().map(|s| s.found).fold(0.0, f64::max));
    for step in steps {
        if meets_clamp(step, shape, plan, machine) {
            harms.push(Harm::Clamp);
        }
    }
    let low: Vec<&Step> = steps
        .iter()
        .filter(|step| step.from[2].min(step.to[2]) < top && !step.from[0].is_nan())
        .collect();
    let stock = machine.finish.stock.to_mm();
    let deepest = machine.rough.depth.to_mm();
    let bins = Bins::of(&low, shape);
    for spot in spots {
        let mut height = spot.found;
        let mut at_stop = None;
        for step in bins.near(spot).iter().map(|i| low[*i]) {
            if !shape.may_reach(step, spot) {
                continue;
            }
            let reached = shape.over(step, spot.x, spot.y);
            if reached >= height {
                continue;
            }
            if step.start == starts && at_stop.is_none() {
                at_stop = Some(height);
            }
            let taken = height - reached;
            if taken > SAME && (step.rapid || !step.on) {
                harms.push(Harm::Touch);
            }
            // Two levels, each rounded, and the rounding of the check's own sum.
            if taken > deepest + 3e-3 + SAME {
                harms.push(Harm::Pass);
            }
            height = reached;
        }
        let at_stop = at_stop.unwrap_or(height);
        for (height, stock, harm) in [(at_stop, stock, Harm::Stop), (height, 0.0, Harm::Part)] {
            if spot.inside {
                if height < -spot.tolerance - SAME {
                    harms.push(harm);
                }
                continue;
            }
            let wanted = spot.found.min(spot.target + stock);
            let most = if spot.ring { spot.found.min(stock) } else { wanted };
            if height < wanted - spot.tolerance - SAME || height > most + spot.tolerance + SAME {
                harms.push(harm);
            }
        }
    }
    harms.sort_unstable();
    harms.dedup();
    harms
}

/// Which moves come near which square centimetre, in their order.
struct Bins {
    bins: Vec<Vec<usize>>,
    turning: bool,
}

impl Bins {
    const SIDE: f64 = 10.0;
    const HALF: i32 = 15;

    fn column(at: f64) -> usize {
        let at = (at / Self::SIDE).floor().clamp(-f64::from(Self::HALF), f64::from(Self::HALF));
        (at as i32 + Self::HALF) as usize
    }

    fn of(steps: &[&Step], shape: Shape) -> Self {
        let side = 2 * Self::HALF as usize + 1;
        let mut bins = vec![Vec::new(); side * side];
        for (i, step) in steps.iter().enumerate() {
            let range = |axis: usize| {
                let (a, b) = (step.from[axis], step.to[axis]);
                let (least, most) = (a.min(b) - shape.outer, a.max(b) + shape.outer);
                Self::column(least)..=Self::column(most)
            };
            for row in range(1) {
                for column in range(0) {
                    bins[row * side + column].push(i);
                }
            }
        }
        Self { bins, turning: shape.turning }
    }

    fn near(&self, spot: &Spot) -> &[usize] {
        let (x, y) = if self.turning { (spot.x.hypot(spot.y), 0.0) } else { (spot.x, spot.y) };
        let side = 2 * Self::HALF as usize + 1;
        &self.bins[Self::column(y) * side + Self::column(x)]
    }
}

/// Cutter or holder in the cylinder of the clamp, by many places along the move.
fn meets_clamp(step: &Step, shape: Shape, plan: &Plan, machine: &MachineTool) -> bool {
    let clamp = machine.fixture.clamp_radius.to_mm();
    if clamp <= 0.0 || step.from[0].is_nan() {
        return false;
    }
    let clamp_top = plan.top() + machine.fixture.clamp_height.to_mm();
    let (reach, holder) = match machine.kind {
        Kind::Mill(cutter) => (cutter.reach.to_mm(), 0.5 * cutter.holder_diameter.to_mm()),
        Kind::Lathe(tool) => (tool.reach.to_mm(), tool.holder_width.to_mm()),
    };
    (0..=200).any(|i| {
        let share = f64::from(i) / 200.0;
        let [x, y, z] = step.at(share);
        let radius = x.hypot(y);
        (z < clamp_top && radius < clamp + shape.outer)
            || (z + reach < clamp_top && radius < clamp + holder)
    })
}
