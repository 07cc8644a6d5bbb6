//! `program`: machining programs of a build, with their set-up lists.

use super::output::{complain, complain_of_file, in_words, print};
use super::{DONE, NO_PLAN, WRONG};
use crate::build_file::known::measured;
use crate::build_file::limits::machine_tool::GRID;
use crate::ops::PlanReport;
use crate::ops::program::{
    FaceProgram, ProgramAsked, ProgramFileError, Programmed, USUAL_GRID, program_file,
};
use crate::text;
use clap::Args;
use kernel::units::System;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What the call asked for.
#[derive(Debug, Args)]
pub(super) struct Program {
    /// The build file
    file: PathBuf,
    /// The machine tool, as the file names it; the only one if left out
    #[arg(long, value_name = "NAME")]
    machine: Option<String>,
    /// The folder that is written into; made if it is not there
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// This rotor alone
    #[arg(long, value_name = "SERIAL")]
    rotor: Option<String>,
    /// Between nodes of the check's height map; left out, 0.1 mm
    #[arg(long, value_name = "\"0.1 mm\"")]
    grid: Option<String>,
}

pub(super) fn run(call: &Program, first: System) -> u8 {
    let grid = match call.grid.as_deref().map(|grid| measured(grid, &GRID)).transpose() {
        Ok(grid) => grid.unwrap_or(USUAL_GRID),
        Err(why) => {
            complain(format_args!("--grid: {why}"));
            return WRONG;
        }
    };
    let asked = ProgramAsked { rotor: call.rotor.as_deref(), face: None, grid };
    let programmed = match program_file(&call.file, call.machine.as_deref(), &asked, first) {
        Ok(programmed) => programmed,
        Err(error) => return refused(call, &error),
    };
    let files = files(&programmed);
    if let Err(said) = write(&call.out, &files) {
        complain(said);
        return WRONG;
    }
    let names: Vec<[String; 2]> = files.iter().map(|file| file.names(&call.out)).collect();
    print(&text::program::summary(&programmed.programs, &names, first));
    DONE
}

fn refused(call: &Program, error: &ProgramFileError) -> u8 {
    let file = call.file.display();
    match error {
        ProgramFileError::File(error) => {
            complain_of_file(&call.file, error);
            WRONG
        }
        ProgramFileError::NoPlan(plan) => {
            complain(format_args!("{file}: {error}"));
            in_the_way(plan);
            NO_PLAN
        }
        ProgramFileError::Programs(error) => {
            for said in error.to_string().lines() {
                complain(format_args!("{file}: {said}"));
            }
            if error.is_of_the_call() { WRONG } else { NO_PLAN }
        }
        ProgramFileError::Machine(error) => {
            complain(format_args!("{file}: {error}"));
            WRONG
        }
    }
}

fn in_the_way(plan: &PlanReport) {
    for limiting in &plan.limiting {
        let whose = limiting.serial.as_deref().unwrap_or("the set");
        complain(format_args!("{whose}: {}", limiting.detail));
    }
}

/// A program and its set-up list as files.
struct Files {
    name: String,
    program: String,
    list: String,
    /// Lines by which each tells that it is of this build.
    marks: [String; 2],
}

impl Files {
    fn each(&self) -> [(String, &str, &str); 2] {
        let [of_program, of_list] = &self.marks;
        [
            (format!("{}.nc", self.name), self.program.as_str(), of_program.as_str()),
            (format!("{}-set-up.txt", self.name), self.list.as_str(), of_list.as_str()),
        ]
    }

    fn names(&self, folder: &Path) -> [String; 2] {
        self.each().map(|(name, ..)| folder.join(name).display().to_string())
    }
}

fn files(programmed: &Programmed) -> Vec<Files> {
    let programs = &programmed.programs;
    let one = |program: &FaceProgram| {
        let list = text::program::set_up_list(programs, program);
        let of_list = list.lines().find(|line| line.starts_with("Build: ")).unwrap_or_default();
        Files {
            name: program.name(),
            program: program.checked.text().to_owned(),
            marks: [program.build_line().to_owned(), of_list.to_owned()],
            list,
        }
    };
    programs.made.iter().map(one).collect()
}

/// Writes all files, or none: what stands in the folder is looked at first.
fn write(folder: &Path, files: &[Files]) -> Result<(), String> {
    let at = |path: &Path, error: &io::Error| format!("{}: {}", path.display(), in_words(error));
    fs::create_dir_all(folder).map_err(|error| at(folder, &error))?;
    let all: Vec<_> = files.iter().flat_map(Files::each).collect();
    for (name, _, mark) in &all {
        let path = folder.join(name);
        match fs::read(&path) {
            Ok(there) if is_of(&there, mark) => {}
            Ok(_) => {
                return Err(format!(
                    "{} is there already and is of another build; choose another folder",
                    path.display()
                ));
            }
            Err(error) if error.kind() == io::ErrorKind::NotFound => {}
            Err(error) => return Err(at(&path, &error)),
        }
    }
    for (name, content, _) in &all {
        let path = folder.join(name);
        fs::write(&path, content).map_err(|error| at(&path, &error))?;
    }
    Ok(())
}

/// Whether a file has the line that names the build. A set-up list of another build has another.
fn is_of(there: &[u8], mark: &str) -> bool {
    String::from_utf8_lossy(there).lines().any(|line| line == mark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use kernel::units::Length;

    #[test]
    fn a_grid_is_what_the_check_takes() {
        let said = |text: &str| measured(text, &GRID).map(Length::to_mm);
        assert_eq!(said("0.1 mm"), Ok(0.1));
        assert!(said("1 um").unwrap_err().contains("is less than 0.05 mm"));
        assert!(said("3 mm").unwrap_err().contains("is more than 2 mm"));
        assert!(GRID.broken_by(USUAL_GRID).is_none());
    }
}
