//! Which page belongs to which table: the trees as far as they can be walked, and pages that no
//! tree leads to any more, by what lies on them.

use super::pages::Pages;
use super::rows::{Apart, Row, apart};
use super::shapes::Shape;
use rusqlite::types::Value;
use std::collections::{BTreeMap, HashMap, HashSet};

/// A page that cannot be read, or not all of it.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct DamagedPage {
    /// Its number in the file, from 1.
    pub page: u32,
    /// The table or index it belonged to, if that can be told.
    pub of: Option<String>,
    /// What is wrong with it.
    pub wrong: String,
    /// Numbers of rows that were on it or below it lie above the first and not above the second;
    /// each if it can be told.
    pub rows: (Option<i64>, Option<i64>),
}

impl std::fmt::Display for DamagedPage {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "page {}", self.page)?;
        if let Some(of) = &self.of {
            write!(f, ", of {of}")?;
        }
        write!(f, ": {}", self.wrong)?;
        match self.rows {
            (Some(after), Some(to)) if after + 1 == to => write!(f, " (row {to})"),
            (Some(after), Some(to)) => write!(f, " (rows {} to {to})", after + 1),
            (Some(after), None) => write!(f, " (rows from {} on)", after + 1),
            (None, Some(to)) => write!(f, " (rows up to {to})"),
            (None, None) => Ok(()),
        }
    }
}

/// A row whose table is not known for sure.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LooseRow {
    pub(super) page: u32,
    pub(super) row: Row,
    /// Tables that it may be of.
    pub(super) tables: Vec<String>,
}

/// What was found in a file.
#[derive(Debug, Default)]
pub(super) struct Found {
    /// How many rows were put into their tables.
    pub(super) rows: u64,
    pub(super) loose: Vec<LooseRow>,
    pub(super) damaged: Vec<DamagedPage>,
}

/// Takes a row, with the place of its table in the list of shapes. Rows are not gathered: a shop has
/// more photos than a machine has memory.
pub(super) type Put<'p> = dyn FnMut(usize, Row) + 'p;

/// Trees of SQLite are no deeper than this, whatever is in them [SQLITE-FORMAT, 1.6].
const DEEPEST: usize = 20;
/// The tree that says where the other trees begin.
const SCHEMA: u32 = 1;

struct Walk<'w, 'f> {
    pages: &'w mut Pages<'f>,
    been: HashSet<u32>,
    damaged: Vec<DamagedPage>,
}

impl Walk<'_, '_> {
    /// Walks a tree; gives the rows of each of its pages that can be read.
    fn tree(&mut self, root: u32, of: &str, index: bool, mut each: impl FnMut(u32, Vec<Row>)) {
        let mut open = vec![(root, (None, None), 0)];
        while let Some((number, (after, to), depth)) = open.pop() {
            let mut damaged = |wrong: String| {
                let of = Some(of.to_owned());
                let rows = if index { (None, None) } else { (after, to) };
                self.damaged.push(DamagedPage { page: number, of, wrong, rows });
            };
            if depth > DEEPEST || self.been.contains(&number) {
                damaged("the way to it is destroyed".to_owned());
                continue;
            }
            self.been.insert(number);
            let page = match self.pages.page(number) {
                Ok(page) => page,
                Err(why) => {
                    damaged(why);
                    continue;
                }
            };
            let Some(apart) =
                apart(self.pages, number, &page).filter(|apart| apart.kind.of_index() == index)
            else {
                damaged("it is destroyed".to_owned());
                continue;
            };
            if apart.unread > 0 {
                damaged(unread(apart.unread, apart.kind.is_inside()));
            }
            let Apart { rows: on_it, below, .. } = apart;
            self.been.extend(on_it.iter().flat_map(|row| row.overflow.iter()));
            let mut from = after;
            for (below, key) in below {
                open.push((below, (from, key.or(to)), depth + 1));
                from = key.or(from);
            }
            each(number, on_it);
        }
    }
}

fn unread(many: usize, inside: bool) -> String {
    match (many, inside) {
        (1, false) => "one row on it cannot be read".to_owned(),
        (many, false) => format!("{many} rows on it cannot be read"),
        (1, true) => "one way down from it cannot be read".to_owned(),
        (many, true) => format!("{many} ways down from it cannot be read"),
    }
}

/// What the file says of where a tree begins.
struct Root {
    page: u32,
    name: String,
    table: bool,
}

fn roots(rows: &[Row]) -> Vec<Root> {
    let root = |row: &Row| match row.values.as_slice() {
        [Value::Text(kind), Value::Text(name), Value::Text(_), Value::Integer(page), _] => {
            let table = kind == "table";
            let page = u32::try_from(*page).ok().filter(|page| *page > SCHEMA)?;
            (table || kind == "index").then(|| Root { page, name: name.clone(), table })
        }
        _ => None,
    };
    rows.iter().filter_map(root).collect()
}

/// Goes through every page of a file.
pub(super) fn find(pages: &mut Pages<'_>, shapes: &[Shape], put: &mut Put<'_>) -> Found {
    let free = pages.free();
    let mut walk = Walk { pages, been: HashSet::new(), damaged: Vec::new() };
    let mut list = Vec::new();
    walk.tree(SCHEMA, "the list of tables", false, |_, rows| list.extend(rows));
    let mut found = Found::default();
    let mut known = HashSet::new();
    for root in roots(&list) {
        let place = shapes.iter().position(|shape| root.table && shape.name == root.name);
        let index = !root.table || place.is_some_and(|place| shapes[place].as_index);
        if root.table && place.is_none() && root.name.starts_with("sqlite_") {
            walk.been.insert(root.page);
            continue;
        }
        let of = if root.table { root.name.clone() } else { format!("the index {}", root.name) };
        let Some(place) = place else {
            walk.tree(root.page, &of, index, |_, _| {});
            continue;
        };
        known.insert(place);
        walk.tree(root.page, &of, index, |page, rows| {
            sort(rows, page, (place, shapes), &mut found, put);
        });
    }
    // Tables that the list does not have any more begin where they begin in a new file, if what
    // lies there may be of them.
    for (place, shape) in shapes.iter().enumerate().filter(|(place, _)| !known.contains(place)) {
        if walk.been.contains(&shape.root) || free.contains(&shape.root) {
            continue;
        }
        let before = (walk.been.clone(), walk.damaged.len());
        let mut rows = Vec::new();
        walk.tree(shape.root, &shape.name, shape.as_index, |_, on_it| rows.extend(on_it));
        if rows.is_empty() || !rows.iter().all(|row| shape.fits(row)) {
            walk.been = before.0;
            walk.damaged.truncate(before.1);
            continue;
        }
        for row in rows {
            found.rows += 1;
            put(place, row);
        }
    }
    let Walk { been, damaged, .. } = walk;
    found.damaged = damaged;
    loose(pages, shapes, (&been, &free), &mut found, put);
    found
}

/// Rows of a tree that its table does not take are kept apart.
fn sort(
    rows: Vec<Row>,
    page: u32,
    (place, shapes): (usize, &[Shape]),
    found: &mut Found,
    put: &mut Put<'_>,
) {
    for row in rows {
        if shapes[place].fits(&row) {
            found.rows += 1;
            put(place, row);
        } else {
            let tables = vec![shapes[place].name.clone()];
            found.loose.push(LooseRow { page, row, tables });
        }
    }
}

/// Pages that no tree leads to: each by what lies on it.
fn loose(
    pages: &mut Pages<'_>,
    shapes: &[Shape],
    (been, free): (&HashSet<u32>, &HashSet<u32>),
    found: &mut Found,
    put: &mut Put<'_>,
) {
    let mut groups: HashMap<u32, Vec<(u32, Row)>> = HashMap::new();
    let mut above: HashMap<u32, u32> = HashMap::new();
    let mut overflow: HashSet<u32> = HashSet::new();
    for number in 1..=pages.count {
        if been.contains(&number) || free.contains(&number) {
            continue;
        }
        let Some(apart) = pages.page(number).ok().and_then(|page| apart(pages, number, &page))
        else {
            continue;
        };
        above.extend(apart.below.iter().map(|(below, _)| (*below, number)));
        overflow.extend(apart.rows.iter().flat_map(|row| row.overflow.iter().copied()));
        groups.entry(number).or_default().extend(apart.rows.into_iter().map(|row| (number, row)));
        if apart.unread > 0 {
            let wrong = unread(apart.unread, apart.kind.is_inside());
            let page = DamagedPage { page: number, of: None, wrong, rows: (None, None) };
            found.damaged.push(page);
        }
    }
    groups.retain(|number, _| !overflow.contains(number));
    // What is left of a tree is of one table: its pages are decided together.
    let mut trees: HashMap<u32, Vec<(u32, Row)>> = HashMap::new();
    for (number, rows) in groups {
        let mut top = number;
        for _ in 0..DEEPEST {
            match above.get(&top) {
                Some(higher) if !been.contains(higher) && *higher != top => top = *higher,
                _ => break,
            }
        }
        trees.entry(top).or_default().extend(rows);
    }
    let mut tops: Vec<u32> = trees.keys().copied().collect();
    tops.sort_unstable();
    for top in tops {
        let rows = trees.remove(&top).unwrap_or_default();
        let Some(rows) = decide(rows, shapes, found, put) else { continue };
        // Together they are of no table. Each page by itself may be.
        let mut by_page: BTreeMap<u32, Vec<(u32, Row)>> = BTreeMap::new();
        for (page, row) in rows {
            by_page.entry(page).or_default().push((page, row));
        }
        for rows in by_page.into_values() {
            let Some(rows) = decide(rows, shapes, found, put) else { continue };
            // Entries of an index have no numbers, and are made anew from the rows.
            let rows = rows.into_iter().filter(|(_, row)| row.number.is_some());
            found.loose.extend(rows.map(|(page, row)| LooseRow { page, row, tables: Vec::new() }));
        }
    }
    found.damaged.sort_by_key(|damaged| damaged.page);
}

/// Puts rows where they belong, if all of them may be of one table; gives them back if not.
fn decide(
    rows: Vec<(u32, Row)>,
    shapes: &[Shape],
    found: &mut Found,
    put: &mut Put<'_>,
) -> Option<Vec<(u32, Row)>> {
    let fitting: Vec<usize> = (0..shapes.len())
        .filter(|place| rows.iter().all(|(_, row)| shapes[*place].fits(row)))
        .collect();
    match (fitting.as_slice(), gap(&rows, &fitting, shapes, &found.damaged)) {
        ([], _) => return Some(rows),
        ([place], _) | (_, Some(place)) => {
            for (_, row) in rows {
                found.rows += 1;
                put(*place, row);
            }
        }
        (several, None) => {
            let tables: Vec<String> =
                several.iter().map(|place| shapes[*place].name.clone()).collect();
            let rows = rows.into_iter();
            found.loose.extend(rows.map(|(page, row)| LooseRow {
                page,
                row,
                tables: tables.clone(),
            }));
        }
    }
    None
}

/// The one table, of several, that lacks rows of these numbers.
fn gap<'p>(
    rows: &[(u32, Row)],
    fitting: &'p [usize],
    shapes: &[Shape],
    damaged: &[DamagedPage],
) -> Option<&'p usize> {
    let lacks = |place: &&usize| {
        let shape = &shapes[**place];
        damaged.iter().filter(|d| d.of.as_deref() == Some(&shape.name)).any(|d| {
            rows.iter().all(|(_, row)| match row.number {
                Some(number) => {
                    d.rows.0.is_none_or(|after| number > after)
                        && d.rows.1.is_none_or(|to| number <= to)
                }
                None => true,
            })
        })
    };
    let mut lacking = fitting.iter().filter(lacks);
    let first = lacking.next()?;
    lacking.next().is_none().then_some(first)
}
