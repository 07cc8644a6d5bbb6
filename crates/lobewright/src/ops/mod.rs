//! One file per use case: what a build goes through, without any edge's words or formats.
//!
//! No operation contains a formula: values come from the build file, go through the kernel, and
//! come back in a report. [`inputs`] is the one place where a build becomes kernel values and
//! where defaults are taken, each said as an assumption.

mod assembly;
mod assumed;
pub mod backups;
mod balance;
mod batch;
pub mod calibration;
pub mod choice;
mod condition;
mod demo;
mod folder;
pub mod gauges;
mod inputs;
pub mod labels;
pub mod library;
pub mod life;
pub mod people;
pub mod phrase;
mod picture;
mod pictures;
mod plan;
mod planned_file;
pub mod program;
pub mod review;
mod salvage;
pub mod sheet;
pub mod shelf;
mod shop;
mod speed;
mod station_shapes;
pub mod tables;
pub mod teardown;
mod wanted;

pub use assembly::{
    Amount, AssemblyLine, AssemblyReport, CAUTIONS as ASSEMBLY_CAUTIONS, SpacerReport, assembly,
};
pub(crate) use assembly::{angle_text, torque_text};
pub use assumed::Assumed;
pub use balance::{
    BalanceFileError, BalanceReport, Balanced, Basis, BobWeight, Critical, Done, ItemLine, Left,
    MassLine, OwnLine, PlaceLine, PlaneReport, RotorBalance, Running, SensorLine, SpeedLine,
    TakenLine, TrialsReport, balance, balance_file, balance_pictures, balance_without_critical,
};
pub use batch::{Outcome, build_files, plan_all, plan_file};
pub use condition::{
    AtReport, CAUTIONS as CONDITION_CAUTIONS, CardReport, CardVerdict, ConditionReport,
    FoundAmount, ItemReport, ItemSaid, card_part, condition, part_of_card, plating_picture,
};
pub use demo::{Demo, demo_shop};
pub use folder::{FolderFile, folder, safe_name};
pub use inputs::{AtSpeedError, BalanceError, InputError, SpeedCall};
pub(crate) use inputs::{STEP_GAUGE, WIDTH_GAUGE};
pub use picture::Picture;
pub(crate) use picture::{file_stem, origin};
pub(crate) use pictures::shape_of;
pub use pictures::{pictures, pictures_as};
pub use plan::{
    Hold, LeastTilt, Limiting, Measured, PlanReport, READINGS, ReadAlone, RotorReport, plan,
};
pub use planned_file::FileError;
pub(crate) use planned_file::{PlannedFile, planned_file};
pub use salvage::{BuildOut, Came, SalvageError, SalvageReport, salvage};
pub use shop::{ShopError, export, import};
pub use speed::{
    CycleLine, DrawnHow, Found, Knocking, RotorAtSpeed, SpeedAsked, SpeedFileError, SpeedReport,
    Watch, plan_at_speed, speed, speed_file, speed_pictures,
};
pub use station_shapes::{StationShapes, station_shapes};
pub use wanted::{inspected_picture, wanted_picture};
