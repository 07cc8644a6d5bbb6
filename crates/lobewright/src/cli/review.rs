//! `review`: a spec of the shop's file looked at again.

use super::shop::{Failed, now, told};
use crate::ops::ShopError;
use crate::ops::review::{SpecReview, review};
use crate::text;
use crate::wire::ReviewJson;
use clap::Args;
use kernel::units::System;
use records::{RecordsError, Shop};
use serde_json::json;
use std::path::PathBuf;

/// What `review` is called with.
#[derive(Debug, Args)]
pub(super) struct ReviewCall {
    /// The shop's file
    shop: PathBuf,
    /// What the spec is called
    spec: String,
    /// JSON for machines in place of text
    #[arg(long)]
    json: bool,
}

pub(super) fn run(call: &ReviewCall, first: System) -> u8 {
    let said = looked_at(call, first).map(|report| {
        if call.json {
            format!("{:#}\n", json!(ReviewJson::of(&report, first)))
        } else {
            text::review::text(&report, first)
        }
    });
    told(said, super::output::complain)
}

fn looked_at(call: &ReviewCall, first: System) -> Result<SpecReview, Failed<ShopError>> {
    let now = now()?;
    let shop = Shop::open(&call.shop, &now).map_err(|error| Failed::Told(error.into()))?;
    let specs = shop.specs().map_err(|error| Failed::Told(error.into()))?;
    let named = specs.iter().filter(|spec| spec.name == call.spec);
    let Some(spec) = named.max_by_key(|spec| spec.version) else {
        let mut known: Vec<&str> = specs.iter().map(|spec| spec.name.as_str()).collect();
        known.dedup();
        let what = match known.as_slice() {
            [] => format!("spec {:?} in this file, nor any other", call.spec),
            known => format!("spec {:?} in this file; it has {}", call.spec, known.join("; ")),
        };
        return Err(Failed::Told(RecordsError::NotThere { what }.into()));
    };
    review(&shop, spec.id, &now.day(), first).map_err(Failed::Told)
}
