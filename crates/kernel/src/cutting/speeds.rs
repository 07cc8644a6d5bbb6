//! Turns and feed of the passes.

use super::error::CuttingError;
use super::face::FaceJob;
use super::machine::{Kind, MachineTool};
use crate::units::{Length, Speed, Velocity};
use std::f64::consts::TAU;

/// Turns and feed of one kind of pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Whole turns per minute, the fraction left off: never above the cutting speed.
    pub rpm: f64,
    /// Feed of the tool.
    pub feed: Velocity,
}

/// Of both kinds of pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paces {
    /// The rough passes.
    pub rough: Pace,
    /// The finishing pass.
    pub finish: Pace,
}

/// Turns and feeds for a face: `n = v / 2πr` with the cutter's radius on a mill, with the largest
/// radius that is cut on a lathe; feed per minute is feed per tooth times teeth times turns, on a
/// lathe feed per turn times turns. One fixed speed for all rough passes, one for the finishing
/// pass: a face that is cut interruptedly is not followed by a changing spindle.
///
/// # Errors
/// A speed that the spindle does not have.
pub fn paces(job: &FaceJob, machine: &MachineTool) -> Result<Paces, CuttingError> {
    let (radius, teeth) = match machine.kind {
        Kind::Mill(cutter) => (cutter.diameter / 2.0, f64::from(cutter.teeth)),
        Kind::Lathe(_) => (Length::m(job.largest_cut_radius_m()), 1.0),
    };
    let pace = |cutting: Velocity, feed: Length| {
        let exact = Speed::rad_per_s(cutting.to_m_per_s() / radius.to_m());
        if exact > machine.most_speed {
            let most = machine.most_speed;
            return Err(CuttingError::SpeedBeyondSpindle { cutting, radius, needed: exact, most });
        }
        // A whole number that the arithmetic missed by its last bits is that number.
        let rpm = (exact.to_rpm() + 1e-9).floor();
        let least = machine.least_speed.unwrap_or(Speed::rpm(1.0));
        if rpm < least.to_rpm() {
            return Err(CuttingError::SpeedBelowSpindle { cutting, radius, needed: exact, least });
        }
        let turns_per_s = Speed::rpm(rpm).to_rad_per_s() / TAU;
        Ok(Pace { rpm, feed: Velocity::m_per_s(feed.to_m() * teeth * turns_per_s) })
    };
    Ok(Paces {
        rough: pace(machine.rough.cutting_speed, machine.rough.feed)?,
        finish: pace(machine.finish.cutting_speed, machine.finish.feed)?,
    })
}

#[cfg(test)]
mod tests {
    use super::super::face::tests::{given, job};
    use super::super::machine::tests::{lathe, mill};
    use super::*;

    /// n = 1000 v/(πD): 100 m/min on 200 mm is 159.155 rpm; 0.1 mm at 400 rpm is 40 mm/min
    /// (common rule, computed).
    #[test]
    fn val_turns_and_feed() {
        let mut machine = mill();
        if let Kind::Mill(cutter) = &mut machine.kind {
            (cutter.diameter, cutter.teeth) = (Length::mm(200.0), 1);
        }
        machine.finish.cutting_speed = Velocity::m_per_s(100.0 / 60.0);
        machine.rough.cutting_speed = Velocity::m_per_s(400.0 * 0.2 * std::f64::consts::PI / 60.0);
        machine.rough.feed = Length::mm(0.1);
        let paces = paces(&job(&given()), &machine).unwrap();
        assert_eq!(paces.finish.rpm, 159.0);
        assert_eq!(paces.rough.rpm, 400.0);
        assert!((paces.rough.feed.to_mm_per_s() * 60.0 - 40.0).abs() < 1e-9);
    }

    #[test]
    fn a_lathe_counts_the_tips_and_a_spindle_has_limits() {
        let (job, mut machine) = (job(&given()), lathe());
        let rpm = paces(&job, &machine).unwrap().finish.rpm;
        // 90 m/min at 99 mm.
        assert_eq!(rpm, 144.0);
        machine.most_speed = Speed::rpm(140.0);
        let message = paces(&job, &machine).unwrap_err().to_string();
        assert!(message.contains("90.0 m/min at radius 99.000 mm needs 145 rpm"), "{message}");
        machine = mill();
        machine.least_speed = Some(Speed::rpm(1500.0));
        let message = paces(&job, &machine).unwrap_err().to_string();
        assert!(message.contains("70.0 m/min at radius 8.000 mm needs 1393 rpm"), "{message}");
    }
}
