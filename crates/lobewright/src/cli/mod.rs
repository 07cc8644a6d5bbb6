//! The command line: reads words, calls one operation, presents what comes back.

mod assembly;
mod balance;

mod batch_text;
mod calibration;
mod cards;
mod check;
mod demo;
mod enter;
mod label;
mod one_file;
mod output;
mod papers;

mod plan;
mod program;
mod review;
mod salvage;

mod serve;
mod shelf;
mod shop;
mod speed;
mod tables;
mod teardown;

use clap::{Parser, Subcommand};
use kernel::units::System;
use std::path::PathBuf;
use std::process::ExitCode;

/// Everything went as it should; a plan was found.
const DONE: u8 = 0;
/// The file is right, but its set has no plan.
const NO_PLAN: u8 = 1;
/// The file or the call is wrong.
const WRONG: u8 = 2;

/// The workbench of people who build rotary engines.
#[derive(Debug, Parser)]
#[command(
    version,
    about = "The workbench of people who build rotary engines.",
    after_help = "Look first, at an invented shop with a year of builds:\n  \
        lobewright demo\n\n\
        Or start with a build file (examples/sprint-boat.toml shows most of one):\n  \
        lobewright check examples/sprint-boat.toml\n  \
        lobewright plan examples/sprint-boat.toml\n  \
        lobewright plan examples/sprint-boat.toml --svg pictures\n  \
        lobewright speed examples/sprint-boat.toml\n  \
        lobewright balance examples/shelduck-hydroplane.toml\n  \
        lobewright program examples/sprint-boat.toml --out programs\n\n\
        Exit status: 0 planned, 1 no plan for the set, 2 the file or the call is wrong.",
    max_term_width = 80
)]
struct Cli {
    #[command(subcommand)]
    command: Command,
    /// Inches and thou first, millimetres in brackets
    #[arg(long, global = true)]
    inch: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Read a build file and say everything that is wrong with it
    #[command(
        after_help = "Every problem is listed in one pass, each with line, column, what was \
        expected and, where it is known, the cure. Nothing is computed."
    )]
    Check {
        /// The build file
        file: PathBuf,
    },
    /// Work out what to cut from each rotor; with readings after cutting, inspect again
    #[command(after_help = "\
A plan says, for each rotor, how much to take off the land and off the face
outside it, on both faces at each tip, so that the set gets the clearance and
the step of the spec, and the lands touch before the tips do, cold and hot.

When no plan exists, what stands in the way is named, with the nearest spec
that would work; rotors that can be planned still are.

With a [rotor.after] table in the file the rotor is inspected again: measured
against planned, verdicts on measured sizes, and a second cut where needed.

A folder, or several files, are planned in one go and listed one per line.")]
    Plan {
        /// A build file, several, or a folder of them
        #[arg(required = true)]
        path: Vec<PathBuf>,
        /// JSON for machines in place of text
        #[arg(long)]
        json: bool,
        /// Also draw the pictures into this folder, each with its data as CSV
        #[arg(long, value_name = "DIR")]
        svg: Option<PathBuf>,
        /// Also what the duty's speed and boost ask for; a few seconds more
        #[arg(long)]
        speed: bool,
    },
    /// Work out where the tips are at speed and under boost, and how likely they touch
    #[command(after_help = "\
The build is planned first; what is computed are the rotors as the plan leaves
them, hot, on a shaft that bends under gas and inertia, in their oil films.
Gaps are least gaps over a hard cycle. At worst float a rotor is pushed to the
wall until its land rests there: then only the step protects the tips.

What the file does not say of shaft, bearings, gas and gear is assumed, and
every assumption is listed. Ctrl-C stops; what is done by then is reported.

Exit status: 0 computed, 1 a tip touches more often than the spec bears (never
with an assumed shaft), 2 the file or the call is wrong.")]
    Speed {
        /// The build file
        file: PathBuf,
        /// This speed in place of the duty's
        #[arg(long, value_name = "N")]
        rpm: Option<String>,
        /// This boost in place of the duty's
        #[arg(long, value_name = "\"0.9 bar\"")]
        boost: Option<String>,
        /// The thermal state it is in
        #[arg(long, value_enum, default_value_t = speed::State::Steady)]
        state: speed::State,
        /// Draws of everything uncertain at the duty; 0: no chances
        #[arg(long, visible_alias = "samples", default_value_t = speed::USUAL_DRAWS)]
        draws: usize,
        /// Which draws: the same number gives the same answer
        #[arg(long, default_value_t = speed::USUAL_SEED)]
        seed: u32,
        /// Speeds of the sweep, from a quarter of the speed to a little above it
        #[arg(long, default_value_t = 40)]
        speeds: usize,
        /// JSON for machines in place of text
        #[arg(long)]
        json: bool,
        /// Also draw the pictures into this folder
        #[arg(long, value_name = "DIR")]
        svg: Option<PathBuf>,
        /// Also write the pictures' data into this folder
        #[arg(long, value_name = "DIR")]
        csv: Option<PathBuf>,
    },
    /// What was read when the engine went together: verdicts, the spacer, tightening
    #[command(after_help = "\
Sizes are in the order of assembly, each with what the engine's record
([assembly]) or the spec asks and what was read ([assembled]). Limits, torques
and angles are the shop's own; what is not given is said to be not given.

Exit status: 0 nothing is proven outside its limit, 1 something is, 2 the file
or the call is wrong.")]
    Assembly {
        /// The build file
        file: PathBuf,
        /// JSON for machines in place of text
        #[arg(long)]
        json: bool,
    },
    /// The inspection cards of used parts: use, rework or reject, and what to order
    #[command(after_help = "\
A card for each part of the file: what is looked at, what the shop's own record
says it may be ([condition]), what was found ([inspected]), and what becomes of
the part. Limits are the shop's own; what is not given is said to be not given.

Exit status: 0 no part is rejected, 1 one is, 2 the file or the call is wrong.")]
    Cards {
        /// The build file
        file: PathBuf,
        /// JSON for machines in place of text
        #[arg(long)]
        json: bool,
    },
    /// A spec of the shop looked at again: how builds to it came back
    #[command(after_help = "\
For each duty: where past builds sat between the bounds of their windows, which
limit they sat nearest to, how they came back, and what that supports changing
of the step, by how much and how sure. Nothing is changed by it.

Exit status: 0 it was looked at, 2 the file or the call is wrong.")]
    Review(review::ReviewCall),
    /// What teardowns and tilt tests of the shop teach of the engine at speed
    #[command(after_help = "\
Marks at teardowns and tips pushed in clamped housings say how much more rotors
lean and parts heat than is computed, and at which gap contact shows. Told are
what was assumed and what the shop's own builds leave of it, each build as the
others would have expected it, and what says nothing and why.

Nothing is applied: in the app whoever owns a spec takes it into a new version.
Ctrl-C stops it.")]
    Calibration(calibration::CalibrationCall),
    /// Work out balance: what to take from rotors, bob weights, and what to drill where
    #[command(after_help = "\
The build is planned first: a rotor that loses metal changes the balance of all.
The text is in the order of the work: masses of the rotors and what to take
from which, bob weights, what the counterweights need, and the fewest holes
that bring what the machine showed within the grade. Trial runs ([[balance.run]])
are solved beside it.

Angles are from the throw of rotor 1 in the sense of rotation, heavy side; what
stands on the machine's scale is given too, as [balance.instrument] counts it.

Exit status: 0 within its grade, measured or planned, or not proven; 1 not
within, and no correction in the file brings it there; 2 the file or the call
is wrong.")]
    Balance {
        /// The build file
        file: PathBuf,
        /// JSON for machines in place of text
        #[arg(long)]
        json: bool,
        /// Also draw the pictures into this folder, each with its data as CSV
        #[arg(long, value_name = "DIR")]
        svg: Option<PathBuf>,
    },
    /// Put on paper what the benches work by: a cut sheet for the set and one for each rotor
    #[command(after_help = "\
Each sheet is a PDF of its own: the set and every rotor. With --build the sheets
are of a build of the shop's file. No sheet is made of a set without a plan.

At the foot of every page stands the hash of what the sheet was made from; one
with another hash than the file's is old.")]
    Sheet(papers::Papers),
    /// Put the record of a build on paper for its customer
    #[command(after_help = "\
The book has the parts, readings before and after, what was cut and why, the
pictures, balance, and who signed what. With --build it is of a build of the
shop's file, with its signatures and their hashes; a build file alone has none,
and its book says so.")]
    Book(papers::Papers),
    /// Print labels for bags and tags: a code with serial and build, large letters, face marks
    #[command(after_help = "\
One for each part of the file that has a serial: rotors, housings, shaft, seals.
The code is plain text that a phone shows; a scanner that types it into the
app's search finds the part. A bag's label is 50 by 30 mm, a tag's 25 by 25 mm; print them at
their own size.")]
    Label(label::Label),
    /// Write readings, plan and history as tables: CSV, and one workbook with all
    #[command(after_help = "\
Written are readings.csv, plan.csv and tables.xlsx, which has both; with --build
of the shop's file also history.csv: every reading ever taken of the build's
parts, in whichever build, superseded ones too.

Numbers are numbers, their unit in the column's name. In CSV, text that a
spreadsheet would take for a formula has an apostrophe in front; import takes it
off again. Tables that are there already are written anew.")]
    Tables(tables::TablesCall),
    /// Make the machining programs of a planned build, each checked, with set-up lists to sign
    #[command(after_help = "\
One program for each face of each rotor that has stock, for a machine of the
file, [machine_tool.NAME]. The text that is written is read back by another
reader and cuts a part of heights; a program that leaves anything but the plan,
touches clamp or land, or has a word that controls read differently, is not
given out: line, reason and place are told, and nothing is written.

Beside each program stands its set-up list: what no simulation can see, done at
the machine and signed. Files of the same build in the folder are replaced,
files of another one are not.

Exit status: 0 written, 1 the set has no plan or a program did not pass its
check, 2 the file, the machine's record or the call is wrong.")]
    Program(program::Program),
    /// Choose rotors and housings for builds that wait, out of all stock
    #[command(after_help = "\
Chosen are the rotors and housings that lose the least metal and differ least in
mass after the cut, within spec and seals, for all of the builds at once. It is
proven that nothing is better; where the search is stopped, by how much
something else may be. Said too are the next best, what every other part fails
on, and where no set exists what one part or one limit would give one.

From the shop's file:   lobewright shelf SHOP --build N [--build M]
From files:             lobewright shelf BUILD.toml --stock STOCK.toml
A build file may leave out rotors and housings; those that are in it stay. A
stock file has format, gauges, and [[rotor]] and [[housing]] of any number.

Exit status: 0 every build gets a set, 1 one gets none, 2 a file or the call is
wrong.")]
    Shelf(shelf::ShelfCall),
    /// Open the shop's app for the browsers of this machine
    #[command(after_help = "\
The shop's file is made if it is not there. The app answers under the address
that is printed, to this machine alone. Ctrl-C stops it; what was acknowledged
is in the file by then.")]
    Serve(serve::Serve),
    /// Bring a build file into the shop's file, with its parts and readings
    #[command(after_help = "\
The shop's file is one file with every build, part and reading. A build brought
in again with --over N keeps what it said before: a reading that changed
supersedes the one that was there, and nothing is overwritten.

Readings alone come in as CSV with --over N: columns serial, station and value,
and if wanted part, stage (before, after), gauge, temperature. All or none.")]
    Import(shop::Import),
    /// List the builds of the shop's file, or write one out as a folder
    #[command(after_help = "\
Without a build's number the builds are listed. With one, and a folder that is
not there yet, all of it is written there: its build file (build.toml), every
reading ever taken for it, superseded ones too (readings.csv), its parts, who
signed it, what was found at its teardown, what was worked out for it (works/)
and what is attached to it and to its parts (attachments/).")]
    Export(shop::Export),
    /// Copy the shop's file while it is in use
    #[command(after_help = "\
With --into the copy has the shop's name and the moment in its own. It is tried
at once: restored to a file beside it, every page, reference and seal looked at,
and its rows counted; the shop's app then says of when the last good one is.
Older copies that the rule lets go of are taken away, never others' files, and
none unless the new one passed. The benches need not wait.")]
    Backup {
        /// The shop's file
        shop: PathBuf,
        /// The copy; nothing is overwritten
        #[arg(required_unless_present = "into")]
        to: Option<PathBuf>,
        /// A folder that is there, for dated copies that are tried
        #[arg(long, value_name = "FOLDER", conflicts_with = "to")]
        into: Option<PathBuf>,
        /// Which of them stay, if not as the shop's rule says
        #[arg(long, value_name = "\"7 days, 5 weeks, 12 months\"", requires = "into")]
        keep: Option<crate::ops::backups::Keep>,
    },
    /// Put a backup in the place of the shop's file, if it passes its audit
    #[command(after_help = "\
The backup is looked at first: every page, every reference, every seal. What is
there now is kept beside it under another name.")]
    Restore {
        /// The shop's file
        shop: PathBuf,
        /// The backup
        backup: PathBuf,
    },
    /// Verify that no record was changed behind the program's back
    #[command(after_help = "\
Exit status: 0 every record fits, 1 one does not, and it is named, 2 the file
cannot be read. Keep the printed sign-off elsewhere: whoever rewrites the whole
file cannot rewrite that.")]
    Audit {
        /// The shop's file
        shop: PathBuf,
    },
    /// Write out what can be read of a damaged shop's file
    #[command(after_help = "\
The file is read page by page and is not written to. Into the folder go every
row that can be read (tables/), what is attached (attachments/), each build with
its build file and what is missing of it (builds/), and a report. Of a file of
which nothing is lost a new shop's file is made too. Stop the program first if
it has the file open.

Exit status: 0 nothing is lost, 1 something is, and the report says what, 2
nothing of a shop is in the file or the call is wrong.")]
    Salvage {
        /// The damaged file
        shop: PathBuf,
        /// A folder, made for it
        folder: PathBuf,
    },
    /// Look at a shop that is not there: a year of invented builds in every state
    #[command(after_help = "\
Boats, aircraft and pumps, people and numbers are invented. What is made is a
shop's file like any other; nothing else of yours is touched.

With --once nothing is served: the shop's file is made in a folder, and the
build of its sprint boat is worked through beside it, as build file, readings,
plan, speed, balance and pictures.")]
    Demo {
        /// The shop's file to make; left out, one that is gone when you stop
        #[arg(conflicts_with = "once")]
        file: Option<PathBuf>,
        /// Write it all into this folder, which is made or is empty, and stop
        #[arg(long, value_name = "DIR")]
        once: Option<PathBuf>,
        /// The port of this machine; 0 takes any that is free
        #[arg(long, default_value_t = serve::PORT)]
        port: u16,
    },
    /// Tell what a teardown shows, and hold it against what was predicted
    #[command(after_help = "\
A teardown file says hours, the highest speed and boost, and of each rotor what
its tips show, face by face: none, light, heavy or not looked at.
  format = 1
  [teardown]
  running = \"11.5 h\"
  speed = \"9300 rpm\"
  boost = \"0.9 bar\"
  [[rotor]]
  serial = \"R-101\"
  gear_tips = [\"none\", \"light\", \"none\"]
  plain_tips = [\"none\", \"none\", \"not looked at\"]
The build is signed. What is told a second time goes over the first, which is
kept. Without a file, what was told is shown beside its prediction. A folder
that export wrote has each teardown as such a file.")]
    Teardown(teardown::Teardown),
    /// A part over its rebuilds: wear, what cuts took, and what is left
    Life(teardown::LifeCall),
    /// Put a value into a build file, in place, comments kept
    #[command(
        after_help = r#"Places are keys joined by points; rotors and housings by their serial, readings
counted from 1:
  lobewright enter boat.toml rotor.R-114.land_width.2 '79.922 mm'
  lobewright enter boat.toml spec.step.target '5 thou'
A list that is not there yet is given whole, and what belongs together at once:
  lobewright enter boat.toml rotor.R-114.after.land_width \
    '["79.788 mm", "79.787 mm", "79.788 mm"]' rotor.R-114.after.gear_step \
    '["127 um", "126 um", "127 um"]' rotor.R-114.after.plain_step \
    '["127 um", "128 um", "127 um"]'
The file is checked with the new values before anything is written."#
    )]
    Enter {
        /// The build file
        file: PathBuf,
        /// A place and its value, as often as needed
        #[arg(required = true, num_args = 2.., value_names = ["PLACE", "VALUE"])]
        values: Vec<String>,
    },
}

/// Runs the command that the words of the call name.
#[must_use]
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // A reader that has gone away does not make help or a usage error worse.
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { WRONG } else { DONE });
        }
    };
    let first = if cli.inch { System::Inch } else { System::Metric };
    ExitCode::from(match cli.command {
        Command::Check { file } => check::run(&file),
        Command::Plan { path, json, svg, speed } => {
            plan::run(&plan::Call { paths: path, json, svg, speed, first })
        }
        Command::Speed { file, rpm, boost, state, draws, seed, speeds, json, svg, csv } => {
            let call =
                speed::Call { file, rpm, boost, state, draws, seed, speeds, json, svg, csv, first };
            speed::run(&call)
        }
        Command::Balance { file, json, svg } => {
            balance::run(&balance::Call { file, json, svg, first })
        }
        Command::Sheet(call) => papers::sheet(&call, first),
        Command::Book(call) => papers::book(&call, first),
        Command::Label(call) => label::run(&call),
        Command::Tables(call) => tables::run(&call, first),
        Command::Assembly { file, json } => assembly::run(&file, json, first),
        Command::Cards { file, json } => cards::run(&file, json, first),
        Command::Review(call) => review::run(&call, first),
        Command::Calibration(call) => calibration::run(&call, first),
        Command::Teardown(call) => teardown::teardown(&call, first),
        Command::Life(call) => teardown::part_life(&call, first),
        Command::Program(call) => program::run(&call, first),
        Command::Shelf(call) => shelf::run(&call, first),
        Command::Serve(call) => serve::run(&call),
        Command::Import(call) => shop::import(&call),
        Command::Export(call) => shop::export(&call),
        Command::Backup { shop, into: Some(folder), keep, .. } => {
            shop::backup_into(&shop, &folder, keep)
        }
        Command::Backup { shop, to, .. } => shop::backup(&shop, &to.unwrap_or_default()),
        Command::Restore { shop, backup } => shop::restore(&shop, &backup),
        Command::Audit { shop } => shop::audit(&shop),
        Command::Salvage { shop, folder } => salvage::run(&shop, &folder),
        Command::Demo { once: Some(folder), .. } => demo::once(&folder, first),
        Command::Demo { file, once: None, port } => serve::demo(file.as_deref(), port),
        Command::Enter { file, values } => enter::run(&file, &values),
    })
}
