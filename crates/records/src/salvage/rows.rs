//! Rows out of one page [SQLITE-FORMAT, sections 1.6 (pages of a tree) and 2.1 (rows)]: every row
//! that can be read, and how many cannot. Whatever the bytes are, there is an answer.

use super::pages::{Pages, four, two};
use rusqlite::types::Value;
use std::collections::HashSet;

/// What a page of a tree is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    TableLeaf,
    TableInside,
    IndexLeaf,
    IndexInside,
}

impl Kind {
    pub(super) const fn is_inside(self) -> bool {
        matches!(self, Self::TableInside | Self::IndexInside)
    }

    pub(super) const fn of_index(self) -> bool {
        matches!(self, Self::IndexLeaf | Self::IndexInside)
    }
}

/// A row as it lies in a page.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// Of a table with numbers of rows.
    pub(super) number: Option<i64>,
    pub(super) values: Vec<Value>,
    /// The pages that it goes on in.
    pub(super) overflow: Vec<u32>,
}

/// A page, taken apart.
#[derive(Debug)]
pub(super) struct Apart {
    pub(super) kind: Kind,
    pub(super) rows: Vec<Row>,
    /// Pages below it, each with the greatest number of a row below it; the last has none.
    pub(super) below: Vec<(u32, Option<i64>)>,
    /// Rows of it that cannot be read.
    pub(super) unread: usize,
}

/// A number of one to nine bytes; how many it took.
fn varint(bytes: &[u8], at: usize) -> Option<(i64, usize)> {
    let mut number: u64 = 0;
    for n in 0..9 {
        let byte = *bytes.get(at.checked_add(n)?)?;
        if n == 8 {
            return Some((((number << 8) | u64::from(byte)).cast_signed(), 9));
        }
        number = (number << 7) | u64::from(byte & 0x7f);
        if byte & 0x80 == 0 {
            return Some((number.cast_signed(), n + 1));
        }
    }
    None
}

/// Takes a page of a tree apart; nothing if it is none.
pub(super) fn apart(pages: &mut Pages<'_>, number: u32, page: &[u8]) -> Option<Apart> {
    let page = page.get(..pages.usable)?;
    let head = if number == 1 { 100 } else { 0 };
    let kind = match page.get(head)? {
        0x0d => Kind::TableLeaf,
        0x05 => Kind::TableInside,
        0x0a => Kind::IndexLeaf,
        0x02 => Kind::IndexInside,
        _ => return None,
    };
    let many = two(page, head + 3)?;
    let pointers = head + if kind.is_inside() { 12 } else { 8 };
    // More than can be on a page: its head is destroyed.
    if pointers + 2 * many > page.len() || (many == 0 && kind.is_inside()) {
        return None;
    }
    let mut apart = Apart { kind, rows: Vec::new(), below: Vec::new(), unread: 0 };
    let mut last: Option<i64> = None;
    for n in 0..many {
        let read = two(page, pointers + 2 * n)
            .filter(|at| *at >= pointers + 2 * many)
            .and_then(|at| cell(pages, kind, page, at));
        let Some((below, row, key)) = read else {
            apart.unread += 1;
            continue;
        };
        // Numbers of rows go up: one that does not is none.
        if let Some(key) = key {
            if last.is_some_and(|last| key <= last) {
                apart.unread += 1;
                continue;
            }
            last = Some(key);
        }
        apart.below.extend(below.map(|below| (below, key)));
        apart.rows.extend(row);
    }
    if kind.is_inside() {
        apart.below.push((four(page, head + 8)?, None));
    }
    Some(apart)
}

type Cell = (Option<u32>, Option<Row>, Option<i64>);

/// One cell: the page below it, the row in it, the number of the row.
fn cell(pages: &mut Pages<'_>, kind: Kind, page: &[u8], at: usize) -> Option<Cell> {
    let below = if kind.is_inside() { Some(four(page, at)?) } else { None };
    let at = at + if kind.is_inside() { 4 } else { 0 };
    if kind == Kind::TableInside {
        return Some((below, None, Some(varint(page, at)?.0)));
    }
    let (length, took) = varint(page, at)?;
    let length = usize::try_from(length).ok()?;
    let mut at = at + took;
    let mut number = None;
    if kind == Kind::TableLeaf {
        let (key, took) = varint(page, at)?;
        (number, at) = (Some(key), at + took);
    }
    let (bytes, overflow) = payload(pages, kind, page, (at, length))?;
    let values = record(&bytes)?;
    Some((below, Some(Row { number, values, overflow }), number))
}

/// All bytes of a row, those on further pages too, and which pages these are.
fn payload(
    pages: &mut Pages<'_>,
    kind: Kind,
    page: &[u8],
    (at, length): (usize, usize),
) -> Option<(Vec<u8>, Vec<u32>)> {
    let usable = pages.usable;
    let most = if kind == Kind::TableLeaf { usable - 35 } else { (usable - 12) * 64 / 255 - 23 };
    if length <= most {
        return Some((page.get(at..at.checked_add(length)?)?.to_vec(), Vec::new()));
    }
    // No row is longer than the file.
    if length as u64 > u64::from(pages.count) * pages.size as u64 {
        return None;
    }
    let least = (usable - 12) * 32 / 255 - 23;
    let some = least + (length - least) % (usable - 4);
    let here = if some <= most { some } else { least };
    let mut bytes = page.get(at..at.checked_add(here)?)?.to_vec();
    let mut next = four(page, at + here)?;
    let (mut overflow, mut been) = (Vec::new(), HashSet::new());
    while bytes.len() < length {
        // A chain that comes back to itself is none.
        if !been.insert(next) {
            return None;
        }
        let more = pages.page(next).ok()?;
        overflow.push(next);
        next = four(&more, 0)?;
        let wanted = (length - bytes.len()).min(usable - 4);
        bytes.extend_from_slice(more.get(4..4 + wanted)?);
    }
    // The chain ends where the row ends.
    (next == 0).then_some((bytes, overflow))
}

/// The values of a row; nothing if its bytes are not exactly one.
fn record(bytes: &[u8]) -> Option<Vec<Value>> {
    let (head, mut at) = varint(bytes, 0)?;
    let head = usize::try_from(head).ok().filter(|head| *head <= bytes.len())?;
    let mut body = head;
    let mut values = Vec::new();
    while at < head {
        let (kind, took) = varint(bytes.get(..head)?, at)?;
        at += took;
        let length = match kind {
            0 | 8 | 9 => 0,
            1..=4 => usize::try_from(kind).ok()?,
            5 => 6,
            6 | 7 => 8,
            12.. => usize::try_from((kind - 12) / 2).ok()?,
            _ => return None,
        };
        let part = bytes.get(body..body.checked_add(length)?)?;
        body += length;
        values.push(match kind {
            0 => Value::Null,
            8 => Value::Integer(0),
            9 => Value::Integer(1),
            7 => {
                let real = f64::from_be_bytes(part.try_into().ok()?);
                if real.is_nan() {
                    return None;
                }
                Value::Real(real)
            }
            1..=6 => {
                let least = if part.first()? & 0x80 == 0 { 0 } else { -1 };
                Value::Integer(part.iter().fold(least, |n: i64, byte| (n << 8) | i64::from(*byte)))
            }
            _ if kind % 2 == 0 => Value::Blob(part.to_vec()),
            _ => Value::Text(String::from_utf8(part.to_vec()).ok()?),
        });
    }
    (at == head && body == bytes.len()).then_some(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_of_every_length_are_read() {
        assert_eq!(varint(&[0x7f], 0), Some((127, 1)));
        assert_eq!(varint(&[0x81, 0x00], 0), Some((128, 2)));
        assert_eq!(varint(&[0xff; 9], 0), Some((-1, 9)));
        assert_eq!(varint(&[0x81], 0), None);
        assert_eq!(varint(&[], 3), None);
    }

    #[test]
    fn a_row_is_read_exactly_or_not_at_all() {
        // Nothing, 1, -2 in one byte, a text, bytes.
        let row = [6, 0, 9, 1, 15, 14, 0xfe, b'a', 0xff];
        let values = vec![
            Value::Null,
            Value::Integer(1),
            Value::Integer(-2),
            Value::Text("a".to_owned()),
            Value::Blob(vec![0xff]),
        ];
        assert_eq!(record(&row), Some(values));
        assert_eq!(record(&row[..8]), None);
        let mut longer = row.to_vec();
        longer.push(0);
        assert_eq!(record(&longer), None);
        // A text that is none.
        let mut spoiled = row;
        spoiled[7] = 0xff;
        assert_eq!(record(&spoiled), None);
    }
}
