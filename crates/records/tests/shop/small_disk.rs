//! A disk of two megabytes.

use std::path::Path;
use std::process::Command;

/// A small disk of its own, where this machine lets one be made.
pub(crate) struct SmallDisk<'p>(&'p Path);

impl<'p> SmallDisk<'p> {
    pub(crate) fn new(at: &'p Path) -> Option<Self> {
        let made = Command::new("mount")
            .args(["-t", "tmpfs", "-o", "size=2m", "tmpfs"])
            .arg(at)
            .output()
            .is_ok_and(|output| output.status.success());
        made.then_some(Self(at))
    }

    /// From now on it can only be read.
    pub(crate) fn read_only(&self) {
        let done = Command::new("mount").args(["-o", "remount,ro"]).arg(self.0).status();
        assert!(done.unwrap().success());
    }
}

impl Drop for SmallDisk<'_> {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(self.0).output();
    }
}
