//! `cards`: the inspection cards of the used parts of one build.

use super::one_file::build_of;
use super::output::print;
use super::{DONE, NO_PLAN};
use crate::ops::condition;
use crate::text;
use crate::wire::CardsJson;
use kernel::units::System;
use serde_json::json;
use std::path::Path;

pub(super) fn run(file: &Path, json: bool, first: System) -> u8 {
    let build = match build_of(file, json) {
        Ok(build) => build,
        Err(status) => return status,
    };
    let report = condition(&build, first);
    if json {
        print(&format!("{:#}\n", json!(CardsJson::of(&report))));
    } else {
        print(&text::cards::text(&report));
    }
    if report.rejects() { NO_PLAN } else { DONE }
}
