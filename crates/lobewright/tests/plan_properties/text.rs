//! The text of a plan fits its columns, whatever the serials and the units.

use super::for_each;
use super::shop::{Unit, shop};
use std::cell::Cell;
use std::process::Command;

const COLUMNS: usize = 80;
/// As long as a serial may be on paper.
const LONG: &str = "SERIAL-OF-24-CHARACTERS";

#[test]
fn every_line_fits_eighty_columns() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("any.toml");
    let codes = [const { Cell::new(0) }; 2];
    for_each(40, 9, shop(), |mut shop| {
        for (i, pair) in shop.pairs.iter_mut().enumerate() {
            pair.serial = format!("{LONG}{}", i + 1);
            assert_eq!(pair.serial.chars().count(), 24);
        }
        // A housing's serial has a letter of its own before the rotor's.
        let text = shop.file(Unit::Millimetre, Unit::Micrometre).replace("\"HSERIAL", "\"SERIAL");
        std::fs::write(&file, text).unwrap();
        for units in [&[][..], &["--inch"]] {
            let output = Command::new(env!("CARGO_BIN_EXE_lobewright"))
                .arg("plan")
                .arg(&file)
                .args(units)
                .output()
                .unwrap();
            let code = output.status.code().unwrap();
            let count = &codes[usize::try_from(code).unwrap()];
            count.set(count.get() + 1);
            assert!(output.stderr.is_empty());
            let said = String::from_utf8(output.stdout).unwrap();
            assert!(said.contains(&shop.pairs[0].serial) && said.ends_with('\n'));
            for line in said.lines() {
                assert!(line.chars().count() <= COLUMNS, "{units:?}: {line}");
                assert!(!line.contains("NaN"), "{line}");
            }
        }
    });
    assert!(codes[0].get() > 20 && codes[1].get() > 20);
}
