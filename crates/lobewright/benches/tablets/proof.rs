//! That nothing is lost or doubled: the shop's file against what the tablets were told.

use super::tablet::Kept;
use super::years::{Years, now};
use records::{BuildId, PartId, Shop, When};
use std::collections::BTreeMap;
use std::io::Write;

/// Holds the file against what was acknowledged.
pub(crate) fn proven(years: &Years, kept: &[Kept], out: &mut impl Write) {
    let shop = Shop::open(&years.file, &now()).unwrap();
    let mut at: BTreeMap<(BuildId, PartId, &str, &str), Vec<&Kept>> = BTreeMap::new();
    for one in kept {
        let place = (one.build, one.part, one.when.word(), one.station.as_str());
        at.entry(place).or_default().push(one);
    }
    for ((build, part, when, station), sent) in &at {
        let when = if *when == When::Before.word() { When::Before } else { When::After };
        let there = shop.readings_at(*part, Some(*build), when, station).unwrap();
        let told: Vec<(&str, &str)> =
            sent.iter().map(|one| (one.word.as_str(), one.text.as_str())).collect();
        let found: Vec<(&str, &str)> = there
            .iter()
            .filter_map(|one| Some((one.sent_as.as_deref()?, one.value.text())))
            .collect();
        // Every one once, in the order in which they were sent, and no other.
        assert_eq!(found, told, "build {build}, part {part}, {station}");
        for (one, next) in there.iter().zip(&there[1..]) {
            assert_eq!(one.superseded_by, Some(next.id), "{station}");
        }
        assert_eq!(there.last().unwrap().superseded_by, None, "{station}");
    }
    let (mut had, mut have) = (0, 0);
    for build in &years.of_tablets {
        had += build.had;
        have += shop.readings_of(build.id).unwrap().len();
        let file = lobewright::ops::export(&shop, build.id).unwrap();
        let last = at.iter().filter(|((of, ..), _)| *of == build.id).map(|(_, sent)| sent.last());
        for last in last.flatten() {
            assert!(file.contains(&last.text), "the file of build {} at {last:?}", build.id);
        }
    }
    assert_eq!(have, had + kept.len(), "readings of the tablets' builds");
    shop.check().unwrap();
    let audited = shop.audit().unwrap();
    assert_eq!(audited.readings as usize, years.readings + kept.len());
    writeln!(
        out,
        "\n{} readings acknowledged at {} stations: each is kept once and in its order, and the \
         audit of {} readings passes",
        kept.len(),
        at.len(),
        audited.readings
    )
    .unwrap();
}
