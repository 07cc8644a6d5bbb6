//! `assembly`: the assembly sheet of one build.

use super::output::{complain, complain_of, in_words, print};
use super::{DONE, NO_PLAN, WRONG};
use crate::build_file::read;
use crate::ops::assembly;
use crate::text;
use crate::wire::AssemblyJson;
use kernel::readings::Verdict;
use kernel::units::System;
use serde_json::json;
use std::fs;
use std::path::Path;

pub(super) fn run(file: &Path, json: bool, first: System) -> u8 {
    let refused = |what: &dyn ToString| {
        if json {
            let error = json!({ "file": file.display().to_string(), "error": what.to_string() });
            print(&format!("{error:#}\n"));
        }
    };
    let text = match fs::read_to_string(file) {
        Ok(text) => text,
        Err(error) => {
            refused(&in_words(&error));
            complain(format_args!("{}: {}", file.display(), in_words(&error)));
            return WRONG;
        }
    };
    let build = match read(&text) {
        Ok(build) => build,
        Err(problems) => {
            let problems = problems.in_file(&file.display().to_string());
            refused(&problems);
            complain_of(&problems);
            return WRONG;
        }
    };
    let report = assembly(&build, first);
    if json {
        print(&format!("{:#}\n", json!(AssemblyJson::of(&report))));
    } else {
        print(&text::assembly::text(&report));
    }
    if report.worst() == Some(Verdict::DoesNotConform) { NO_PLAN } else { DONE }
}
