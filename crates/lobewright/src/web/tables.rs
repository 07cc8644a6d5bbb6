//! Readings, plan and history as files for other programs.

use super::reply::Reply;
use super::route::{Route, get};
use super::visit::Visit;
use super::wrong::Wrong;
use crate::ops::safe_name;
use crate::ops::tables::{TablesError, as_workbook, history_of_part, tables_of_build};
use records::{BuildId, PartId};

pub(super) const ROUTES: &[Route] =
    &[get("/builds/{build}/tables/{name}", of_build), get("/shelf/{part}/history/{name}", of_part)];

const CSV: &str = "text/csv; charset=utf-8";
const XLSX: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

impl From<TablesError> for Wrong {
    fn from(error: TablesError) -> Self {
        match error {
            TablesError::Shop(error) => Self::Shop(error),
            TablesError::Inputs(error) => Self::ask(error.to_string()),
            other => Self::Machine(other.to_string()),
        }
    }
}

fn of_build(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<BuildId>("build")?;
    let name = visit.param("name")?;
    let tables = tables_of_build(visit.shop(), id, (&visit.today(), visit.first()))?;
    if let (Some(why), "plan.csv") = (&tables.no_plan, name) {
        return Err(Wrong::ask(format!("there is no plan yet: {why}")));
    }
    let file = tables.file(name)?.ok_or(Wrong::NoPage)?;
    let media_type = if name.ends_with(".csv") { CSV } else { XLSX };
    Ok(Reply::bytes(media_type, file.bytes).file(&format!("build-{id}-{name}")))
}

fn of_part(visit: &Visit<'_>) -> Result<Reply, Wrong> {
    let id = visit.id::<PartId>("part")?;
    let part = visit.shop().part(id)?;
    let table = history_of_part(visit.shop(), id)?;
    let title = format!("{} {}", part.kind, part.serial);
    let (media_type, bytes) = match visit.param("name")? {
        "history.csv" => (CSV, table.csv().map_err(TablesError::from)?.into_bytes()),
        "history.xlsx" => (XLSX, as_workbook(&title, table)?),
        _ => return Err(Wrong::NoPage),
    };
    let ending = if media_type == CSV { "csv" } else { "xlsx" };
    let stem = safe_name(&title);
    Ok(Reply::bytes(media_type, bytes).file(&format!("{stem}-history.{ending}")))
}
