//! `assembly`: the assembly sheet of one build.

use super::one_file::build_of;
use super::output::print;
use super::{DONE, NO_PLAN};
use crate::ops::assembly;
use crate::text;
use crate::wire::AssemblyJson;
use kernel::readings::Verdict;
use kernel::units::System;
use serde_json::json;
use std::path::Path;

pub(super) fn run(file: &Path, json: bool, first: System) -> u8 {
    let build = match build_of(file, json) {
        Ok(build) => build,
        Err(status) => return status,
    };
    let report = assembly(&build, first);
    if json {
        print(&format!("{:#}\n", json!(AssemblyJson::of(&report))));
    } else {
        print(&text::assembly::text(&report));
    }
    if report.worst() == Some(Verdict::DoesNotConform) { NO_PLAN } else { DONE }
}
