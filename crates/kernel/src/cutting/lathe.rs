//! On a lathe: facing from the outside in.
//!
//! The land is faced from beyond its edge to inside its inner edge; outside it the tool comes from
//! beyond the tips and stops short of the shoulder by the round of its nose. A taper is a slope.
//! Every way down is beside the part or over what lies lower.

use super::error::CuttingError;
use super::face::FaceJob;
use super::machine::MachineTool;
use super::passes::{AIR_M, CLAMP_CLEAR_M, EDGE_CLEAR_M, OVERLAP_M, Way, Ways};
use crate::units::Length;

pub(super) fn ways(job: &FaceJob, machine: &MachineTool) -> Result<Ways, CuttingError> {
    let nose = machine.nose();
    let (land_m, zone_m) = (job.land_m(), job.shoulder_m());
    let outside_m = job.outside_top_m();
    let beyond_m = job.outline().farthest_m() + nose.outer_m() + AIR_M;
    let clamp_m = machine.fixture.clamp_radius.to_m();
    let past_the_clamp = |reach_m: f64, end_m: f64| {
        let (edge_m, needed_m) = (end_m - nose.outer_m(), clamp_m + CLAMP_CLEAR_M);
        if clamp_m > 0.0 && edge_m < needed_m {
            let [reach, edge, needed] = [reach_m, edge_m, needed_m].map(Length::m);
            return Err(CuttingError::Clamp { reach, edge, needed });
        }
        Ok(())
    };

    let mut flat = Vec::new();
    if job.land_is_cut() || (zone_m > land_m && outside_m > 1e-9) {
        let inner_m = if job.land_is_cut() { job.land_inner_m() } else { land_m };
        let end_m = inner_m - OVERLAP_M;
        past_the_clamp(inner_m, end_m)?;
        // What stands outside above the finished land is faced with it.
        let from_m = if outside_m > 0.0 { beyond_m } else { zone_m + nose.outer_m() + AIR_M };
        flat.push(Way { path_m: vec![[from_m, 0.0], [end_m, 0.0]], z_m: vec![0.0; 2] });
    }

    let mut outside = Vec::new();
    if job.outside_is_cut() {
        // At the stop the tool is as low as the face is there.
        let mut end_m = zone_m;
        for _ in 0..4 {
            end_m = zone_m + nose.reach_m(-job.target_m(end_m)) + EDGE_CLEAR_M;
        }
        past_the_clamp(zone_m, end_m)?;
        let far_m = job.outline().farthest_m();
        let radii_m = [beyond_m, far_m.max(end_m), end_m];
        outside.push(Way {
            path_m: radii_m.map(|radius_m| [radius_m, 0.0]).to_vec(),
            z_m: radii_m.map(|radius_m| job.target_m(radius_m.min(far_m))).to_vec(),
        });
    }
    let flat_top_m = if job.land_is_cut() { job.land_top_m().max(outside_m) } else { outside_m };
    Ok(Ways { flat, flat_top_m, outside, terraces: None, closed: false, outer_m: nose.outer_m() })
}
