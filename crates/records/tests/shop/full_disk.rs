//! No room on the disk: it is told, and nothing that was acknowledged is lost.

use crate::sample::{Sample, now};
use crate::small_disk::SmallDisk;
use records::{RecordsError, Shop};

/// More readings than there is room for, in the tests below.
const MANY: usize = 20_000;

/// Reads until there is no room, then looks whether all that was acknowledged is there.
fn fill(sample: &Sample) -> RecordsError {
    let mut kept = Vec::new();
    let mut full = None;
    for n in 0..MANY {
        match sample.read_expecting(&format!("s.{n}"), "79.915 mm", None) {
            Ok(id) => kept.push(id),
            Err(error) => {
                full = Some(error);
                break;
            }
        }
    }
    let full = full.expect("there was room for all");
    assert!(!kept.is_empty());
    let there: Vec<_> =
        sample.shop.readings_of(sample.build).unwrap().iter().map(|reading| reading.id).collect();
    assert_eq!(there, kept);
    full
}

#[test]
fn a_file_that_may_not_grow_says_that_the_disk_is_full() {
    let sample = Sample::new();
    sample.shop.limit_pages(150).unwrap();
    let full = fill(&sample);
    assert_eq!(full, RecordsError::DiskFull { file: sample.file().to_owned() });
    assert!(full.to_string().contains("make room"), "{full}");
    // With room again it goes on, without being opened again.
    sample.shop.limit_pages(100_000).unwrap();
    let before = sample.shop.readings_of(sample.build).unwrap().len();
    sample.read("land_width.1", "79.915 mm").unwrap();
    assert_eq!(sample.shop.readings_of(sample.build).unwrap().len(), before + 1);
    sample.shop.audit().unwrap();
}

#[test]
fn a_full_disk_is_told_and_loses_nothing() {
    let sample = Sample::new();
    let folder = tempfile::TempDir::new().unwrap();
    let disk = SmallDisk::new(folder.path());
    let file = folder.path().join("shop.db");
    sample.shop.backup(&file).unwrap();
    let shop = Shop::open(&file, &now()).unwrap();
    if disk.is_none() {
        // Nobody may mount here. The same by the file's own limit.
        shop.limit_pages(150).unwrap();
    }
    let small = Sample { shop, ..sample };
    let full = fill(&small);
    assert_eq!(full, RecordsError::DiskFull { file: file.clone() });
    if disk.is_some() {
        // No room for a copy either: it says so and leaves nothing behind.
        let backup = folder.path().join("backup.db");
        let error = small.shop.backup(&backup).unwrap_err();
        assert_eq!(error, RecordsError::DiskFull { file: backup.clone() });
        let left: Vec<_> =
            folder.path().read_dir().unwrap().map(|e| e.unwrap().file_name()).collect();
        assert!(left.iter().all(|name| name.to_string_lossy().starts_with("shop.db")), "{left:?}");
        assert!(left.iter().all(|name| !name.to_string_lossy().contains(".part")), "{left:?}");
    }
    // Opened again, and whole.
    let kept = small.shop.readings_of(small.build).unwrap().len();
    let Sample { shop, build, folder: _folder, .. } = small;
    drop(shop);
    let again = Shop::open(&file, &now()).unwrap();
    again.check().unwrap();
    assert_eq!(again.audit().unwrap().readings as usize, kept);
    assert_eq!(again.readings_of(build).unwrap().len(), kept);
    drop(again);
    drop(disk);
}
