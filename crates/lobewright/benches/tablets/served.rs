//! The program, serving in a process of its own.

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// What Linux counts a process's time in, from memory: a hundredth of a second on every machine
/// that it is likely to run on.
const TICK: Duration = Duration::from_millis(10);

/// The program: this build's own, or another one, to be held against it.
pub(crate) fn program() -> Command {
    let own = env!("CARGO_BIN_EXE_lobewright").to_owned();
    Command::new(std::env::var("TABLETS_PROGRAM").unwrap_or(own))
}

/// A server; it ends with the run, whatever becomes of that.
pub(crate) struct Server {
    child: Child,
    pub(crate) address: String,
}

impl Server {
    pub(crate) fn start(file: &Path) -> Self {
        let mut child = program()
            .args(["serve", file.to_str().unwrap(), "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        out.read_line(&mut line).unwrap();
        let address = line.split("http://").nth(1).unwrap().trim().trim_end_matches('/').to_owned();
        Self { child, address }
    }

    /// How much of the processors it has used; nothing where the machine does not tell.
    pub(crate) fn cpu(&self) -> Option<Duration> {
        let stat = fs::read_to_string(format!("/proc/{}/stat", self.child.id())).ok()?;
        // The name stands in brackets and may hold anything; user and system time follow.
        let (_, after) = stat.rsplit_once(") ")?;
        let fields: Vec<&str> = after.split(' ').collect();
        let ticks: u32 =
            fields.get(11)?.parse::<u32>().ok()? + fields.get(12)?.parse::<u32>().ok()?;
        Some(TICK * ticks)
    }

    /// Ends it as somebody does who shuts the machine down.
    pub(crate) fn stop(mut self) {
        let ended = Command::new("kill").arg(self.child.id().to_string()).status();
        if !ended.is_ok_and(|status| status.success()) {
            self.child.kill().unwrap();
        }
        self.child.wait().unwrap();
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It has ended already where it was stopped.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// How busy the machine is, as it says itself.
pub(crate) fn load() -> String {
    let load = fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let cores = std::thread::available_parallelism().map_or(0, usize::from);
    format!("{cores} cores, load {}", load.trim())
}
