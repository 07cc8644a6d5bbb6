//! A planned build at speed and under boost: where its tips are then, how likely they touch, and
//! what would keep them clear.

mod engine;
mod file;
mod pictures;
mod planned;
mod warnings;

use super::inputs::{AtSpeedError, SpeedCall};
use super::plan::PlanReport;
use crate::build_file::Build;
use crate::build_file::model::Calibration;
pub(super) use engine::engine;
pub use file::{SpeedFileError, speed_file};
use kernel::heat::StateName;
use kernel::readings::Face;
use kernel::speed::chance::Sampling;
use kernel::speed::engine::{
    Budget, CycleKind, Cycles, Drawn, Engine, Greatest, Point, Range, RotorChance, Running, Scales,
    SweepPoint,
};
use kernel::speed::gas::CycleReport;
use kernel::speed::pose::RotorGaps;
use kernel::speed::shaft::{Peaks, Sense};
use kernel::units::{Speed, System};
pub use pictures::speed_pictures;
pub use planned::plan_at_speed;
use warnings::warnings;

/// Speeds of a sweep, as shares of the speed asked for.
const SWEEP: [f64; 2] = [0.25, 1.15];
/// Speeds searched for the greatest, as shares of the speed asked for.
const SPEEDS_SEARCHED: [f64; 2] = [0.25, 1.5];
/// Boost searched for the greatest: from none to this much more than asked for.
const BOOST_MORE_PA: f64 = 1.5e5;
/// Steps of a turn at which the shaft's stress is looked at.
const STRESS_STEPS: usize = 72;

/// What is asked of a build at speed.
#[derive(Debug, Clone)]
pub struct SpeedAsked {
    /// Beside the file.
    pub call: SpeedCall,
    /// Draws at the duty; none: no chances.
    pub draws: usize,
    /// Which draws.
    pub seed: u32,
    /// Speeds of the sweep; none: no sweep.
    pub speeds: usize,
}

/// How the work is watched, and stopped.
pub struct Watch<'a> {
    /// Told how many draws are done.
    pub drawn: &'a mut dyn FnMut(usize),
    /// Told of each speed that is done.
    pub swept: &'a (dyn Fn() + Sync),
    /// Whether to go on.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
}

/// One of the three cycles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CycleLine {
    /// Which.
    pub kind: CycleKind,
    /// Peak pressure, absolute.
    pub peak_pa: f64,
    /// After firing top dead centre.
    pub peak_at_deg: f64,
    /// Indicated mean pressure.
    pub mean_pressure_pa: f64,
    /// Mean indicated torque of the whole engine.
    pub torque_n_m: f64,
    /// The rest, where it was computed and not measured.
    pub report: Option<CycleReport>,
}

/// How chances were drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DrawnHow {
    /// Draws done.
    pub draws: usize,
    /// Which.
    pub seed: u32,
    /// Draws that could not be computed; they count as touching.
    pub failed: usize,
    /// Whether they were stopped before all were done.
    pub stopped: bool,
}

/// What a knocking cycle does.
#[derive(Debug, Clone, PartialEq)]
pub struct Knocking {
    /// Per rotor.
    pub gaps: Vec<RotorGaps>,
}

/// One rotor at the speed asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct RotorAtSpeed {
    /// Its serial.
    pub serial: String,
    /// Whether it is as planned; if not it is as it was found, because it has no plan.
    pub planned: bool,
    /// Which of its faces looks to the rear and which to the front.
    pub faces: [Face; 2],
    /// What the hard cycle leaves it.
    pub gaps: RotorGaps,
    /// Where its nearest tip's gap went.
    pub budget: Option<Budget>,
    /// How likely tips touch and lands jam.
    pub chance: Option<RotorChance>,
    /// Largest load on its bearing, N.
    pub bearing_load_n: f64,
    /// Thinnest film in its bearing, where it was computed.
    pub least_film_m: Option<f64>,
    /// Largest slope of its journal.
    pub journal_slope_rad: f64,
    /// Largest tangential force in its mesh.
    pub mesh_n: f64,
    /// Least side clearance for the chance that is borne, with its step as it is.
    pub least_clearance_m: Option<f64>,
    /// Least step for the chance that is borne, with its clearance as it is; nothing: none needed.
    pub least_step_m: Option<f64>,
    /// Least step for the chance that is borne with the least side clearance, where it leans as it
    /// would without walls.
    pub step_with_it_m: Option<f64>,
}

/// What was searched for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// Greatest speed at this boost, rad/s.
    pub speed: Greatest,
    /// Greatest boost at this speed, Pa.
    pub boost: Greatest,
}

/// A build at speed.
#[derive(Debug, Clone)]
pub struct SpeedReport {
    /// Its name.
    pub build: String,
    /// Speed and boost.
    pub running: Running,
    /// The thermal state.
    pub state: StateName,
    /// What a builder should look at before believing, or running, it.
    pub warnings: Vec<String>,
    /// What was assumed, the plan's assumptions first.
    pub assumed: Vec<String>,
    /// Whether the shaft was scaled from the engine's sizes.
    pub assumed_shaft: bool,
    /// What of the shop's own builds is in these figures, as the spec has it.
    pub calibration: Option<Calibration>,
    /// Chance of contact that is borne.
    pub allowed_chance: f64,
    /// Mean, hard, knocking.
    pub cycles: [CycleLine; 3],
    /// Everything of the hard cycle.
    pub point: Point,
    /// Critical speeds, rad/s, forward then backward, slowest first.
    pub critical_rad_s: [Vec<f64>; 2],
    /// Largest bending stress of the shaft.
    pub peaks: Peaks,
    /// Rotors, from the front.
    pub rotors: Vec<RotorAtSpeed>,
    /// What a knocking cycle does.
    pub knocking: Knocking,
    /// How chances were drawn.
    pub drawn: Option<DrawnHow>,
    /// What was searched for; nothing without chances, or stopped.
    pub found: Option<Found>,
    /// Speeds, slowest first.
    pub sweep: Vec<SweepPoint>,
    /// Whether the sweep was stopped before all its speeds were done.
    pub sweep_stopped: bool,
    /// The engine, for pictures.
    pub(super) engine: Engine,
    /// Names of the masses on the shaft.
    pub(super) weights: Vec<String>,
}

impl SpeedReport {
    /// The chance of contact that is largest among the rotors.
    #[must_use]
    pub fn worst_chance(&self) -> Option<f64> {
        let chances = self.rotors.iter().filter_map(|rotor| Some(rotor.chance?.contact.value));
        chances.max_by(f64::total_cmp)
    }

    /// Whether more is risked than is borne, with a shaft that is known.
    #[must_use]
    pub fn risks_too_much(&self) -> bool {
        !self.assumed_shaft
            && self.worst_chance().is_some_and(|chance| chance > self.allowed_chance)
    }

    /// Speed in rpm.
    #[must_use]
    pub fn rpm(&self) -> f64 {
        Speed::rad_per_s(self.running.omega_rad_s).to_rpm()
    }
}

/// A planned build at speed.
///
/// # Errors
/// [`AtSpeedError`] naming what is missing, or what cannot be computed.
pub fn speed(
    build: &Build,
    plan: &PlanReport,
    asked: &SpeedAsked,
    first: System,
    watch: &mut Watch<'_>,
) -> Result<SpeedReport, AtSpeedError> {
    let (inputs, engine) = engine(build, plan, &asked.call, first)?;
    let running = inputs.running;
    let point = engine.point(running)?;
    let knocking_loads = engine.loads(&point.cycles, CycleKind::Knocking, running)?;
    let knocking = knocking(&engine, &knocking_loads)?;
    let drawn = if asked.draws == 0 {
        None
    } else {
        let sampling = Sampling { points: asked.draws, seed: asked.seed };
        Some(engine.draw(&point.loads, &inputs.uncertainty, sampling, |done| {
            (watch.drawn)(done);
            (watch.go_on)()
        })?)
    };
    let speeds = sweep_speeds(running, asked.speeds);
    let sweep = engine.sweep(&speeds, drawn.as_ref(), || {
        (watch.swept)();
        (watch.go_on)()
    })?;
    let found = match &drawn {
        Some(drawn) if !drawn.samples.stopped && (watch.go_on)() => {
            Some(found(&engine, drawn, running, inputs.allowed_chance)?)
        }
        _ => None,
    };
    let whirls = engine.critical_speeds(&point.loads)?;
    let critical = |sense: Sense| {
        let of = whirls.iter().filter(|whirl| whirl.sense == sense);
        of.map(|whirl| whirl.omega_rad_s).collect::<Vec<f64>>()
    };
    let chances = drawn.as_ref().map(Drawn::at_duty);
    let rotors = plan
        .rotors
        .iter()
        .enumerate()
        .map(|(index, planned)| {
            let chance = chances.as_ref().map(|all| all[index]);
            rotor(&engine, &point, drawn.as_ref(), chance, index, inputs.allowed_chance)
                .map(|rotor| RotorAtSpeed { planned: planned.planned, ..rotor })
        })
        .collect::<Result<Vec<_>, AtSpeedError>>()?;
    let peaks = point
        .loads
        .response
        .peaks(STRESS_STEPS)
        .map_err(kernel::speed::engine::SpeedError::from)?;
    let mut assumed = plan.assumed.clone();
    assumed.extend(inputs.assumed.sentences().iter().cloned());
    let critical_rad_s = [critical(Sense::Forward), critical(Sense::Backward)];
    Ok(SpeedReport {
        warnings: warnings(&engine, &point, &critical_rad_s)?,
        build: plan.build.clone(),
        running,
        state: inputs.state.name,
        assumed,
        assumed_shaft: inputs.assumed_shaft,
        calibration: build.spec.calibration.clone(),
        allowed_chance: inputs.allowed_chance,
        cycles: cycle_lines(&point.cycles, plan.rotors.len())?,
        critical_rad_s,
        peaks,
        rotors,
        knocking,
        drawn: drawn.as_ref().map(|drawn| DrawnHow {
            draws: drawn.samples.points(),
            seed: asked.seed,
            failed: drawn.failed,
            stopped: drawn.samples.stopped,
        }),
        found,
        sweep_stopped: sweep.len() < speeds.len(),
        sweep,
        point,
        engine,
        weights: inputs.weights,
    })
}

fn knocking(
    engine: &Engine,
    loads: &kernel::speed::engine::Loads,
) -> Result<Knocking, AtSpeedError> {
    let scales = Scales::as_modelled(engine.model().rotors.len());
    let films = engine.films(loads, &scales)?;
    let poses = engine.poses(loads, &films, engine.sizes(), &scales)?;
    Ok(Knocking { gaps: poses.real().gaps.clone() })
}

fn sweep_speeds(running: Running, count: usize) -> Vec<Running> {
    let [from, to] = SWEEP;
    (0..count)
        .map(|index| {
            let part = if count > 1 { index as f64 / (count - 1) as f64 } else { 1.0 };
            Running { omega_rad_s: running.omega_rad_s * (from + part * (to - from)), ..running }
        })
        .collect()
}

fn found(
    engine: &Engine,
    drawn: &Drawn,
    running: Running,
    chance: f64,
) -> Result<Found, AtSpeedError> {
    let [slowest, fastest] = SPEEDS_SEARCHED.map(|share| share * running.omega_rad_s);
    let speeds = Range { least: slowest, asked: running.omega_rad_s, most: fastest };
    let boosts = Range {
        least: 0.0_f64.min(running.boost_pa),
        asked: running.boost_pa,
        most: running.boost_pa.max(0.0) + BOOST_MORE_PA,
    };
    Ok(Found {
        speed: engine.greatest_speed(drawn, running.boost_pa, speeds, chance)?,
        boost: engine.greatest_boost(drawn, running.omega_rad_s, boosts, chance)?,
    })
}

fn cycle_lines(cycles: &Cycles, rotors: usize) -> Result<[CycleLine; 3], AtSpeedError> {
    let line = |kind: CycleKind| -> Result<CycleLine, AtSpeedError> {
        let (peak_pa, peak_at_deg) = cycles.peak(kind);
        Ok(CycleLine {
            kind,
            peak_pa,
            peak_at_deg,
            mean_pressure_pa: cycles.mean_pressure_pa(kind),
            torque_n_m: cycles.rotor(kind)?.mean_torque_n_m() * rotors as f64,
            report: cycles.reports[kind as usize],
        })
    };
    let [mean, hard, knocking] = CycleKind::ALL.map(line);
    Ok([mean?, hard?, knocking?])
}

fn rotor(
    engine: &Engine,
    point: &Point,
    drawn: Option<&Drawn>,
    chance: Option<RotorChance>,
    index: usize,
    allowed: f64,
) -> Result<RotorAtSpeed, AtSpeedError> {
    let model = &engine.model().rotors[index];
    let film = &point.films[index];
    let real = point.poses.real();
    let journal = real.cycle.rotors[index].iter().map(|p| p.journal[0].hypot(p.journal[1]));
    let widths = model.cold.heights.land_width();
    let widest = widths.into_iter().fold(widths[0], kernel::units::Length::max);
    let clearance_m = (model.cold.width - widest).to_m();
    let steps = [model.cold.heights.gear.step(), model.cold.heights.plain.step()].concat();
    let step_m = steps.into_iter().map(|step| step.to_m()).fold(f64::INFINITY, f64::min);
    let more = |of: &dyn Fn(&Drawn) -> Option<f64>, to_m: f64| {
        drawn.and_then(of).map(|add| (to_m + add).max(0.0))
    };
    Ok(RotorAtSpeed {
        serial: model.serial.clone(),
        planned: true,
        faces: [model.room.face_at(0), model.room.face_at(1)],
        gaps: real.gaps[index].clone(),
        budget: engine.budget(point, index)?,
        chance,
        bearing_load_n: film.peak_load_n,
        least_film_m: film.cycle.path.as_ref().map(|path| path.least_film_m),
        journal_slope_rad: journal.fold(0.0, f64::max),
        mesh_n: point.loads.turning.rotors[index].greatest_mesh_n,
        least_clearance_m: more(&|d| d.clearance_to_add_m(index, allowed), clearance_m),
        least_step_m: more(&|d| d.step_to_add_m(index, allowed), step_m),
        step_with_it_m: more(&|d| d.free_step_to_add_m(index, allowed), step_m),
    })
}
