//! Numbers of rows, one type per table, so that a part's is not taken for a build's.

use rusqlite::types::{FromSql, FromSqlResult, ToSql, ToSqlOutput, ValueRef};
use std::fmt;

/// One line per table.
macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
            pub struct $name(pub i64);

            impl fmt::Display for $name {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    self.0.fmt(f)
                }
            }

            impl From<i64> for $name {
                fn from(number: i64) -> Self {
                    Self(number)
                }
            }

            impl ToSql for $name {
                fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                    Ok(self.0.into())
                }
            }

            impl FromSql for $name {
                fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                    value.as_i64().map(Self)
                }
            }
        )+
    };
}

ids! {
    /// A person of the shop.
    PersonId;
    /// A customer.
    CustomerId;
    /// What a customer brought in.
    IntakeId;
    /// A gauge.
    GaugeId;
    /// A calibration of a gauge.
    CalibrationId;
    /// An engine of the shop's library.
    EngineId;
    /// A material of the shop's library.
    MaterialId;
    /// A machine tool of the shop's library.
    MachineToolId;
    /// A version of a spec.
    SpecId;
    /// A part.
    PartId;
    /// What happened to a part.
    PartEventId;
    /// A build.
    BuildId;
    /// A part in its place in a build.
    FittedId;
    /// A reading.
    ReadingId;
    /// A value of a build.
    ValueId;
    /// A plan, a sheet or a balance run.
    WorkId;
    /// A sign-off.
    SignOffId;
    /// A finding of a teardown.
    FindingId;
    /// What was predicted of a build.
    PredictionId;
    /// A teardown.
    TeardownId;
    /// How far a rotor tilted.
    TiltTestId;
    /// A photo or document.
    AttachmentId;
}
