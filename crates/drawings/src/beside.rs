//! Labels beside the ends of lines: as near to their line as the others allow.

/// Base lines of two labels on each other.
const APART: f64 = 18.0;

/// Base lines near the wanted ones, each at least a line below the one before, and between two
/// heights as far as all of them fit; each with the height it wanted and its words.
pub(crate) fn spread(
    mut wanted: Vec<(f64, String)>,
    (top, bottom): (f64, f64),
) -> Vec<(f64, f64, String)> {
    wanted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut least = top;
    let mut put: Vec<(f64, f64, String)> = wanted
        .into_iter()
        .map(|(y, words)| {
            let base = y.max(least);
            least = base + APART;
            (y, base, words)
        })
        .collect();
    let mut most = bottom;
    for (_, base, _) in put.iter_mut().rev() {
        *base = base.min(most);
        most = *base - APART;
    }
    put
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn labels_keep_apart_and_inside() {
        for wanted in [[10.0, 11.0, 12.0], [198.0, 199.0, 200.0], [0.0, 0.0, 400.0]] {
            let put = spread(wanted.map(|y| (y, String::new())).to_vec(), (10.0, 200.0));
            assert!(put.windows(2).all(|p| p[1].1 - p[0].1 >= APART), "{put:?}");
            assert!(put.iter().all(|p| (10.0..=200.0).contains(&p.1)), "{put:?}");
        }
    }
}
