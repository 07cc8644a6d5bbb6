//! What stands for a photo in the demonstration: a small drawing of a rotor with a mark at one
//! tip, as PNG [ISO-15948].

/// Columns and rows.
const SIZE: [u32; 2] = [96, 72];
/// How far the corners are from the middle, in rows; each flank is an arc about the corner
/// opposite.
const CORNER: f64 = 30.0;
/// Half the side of the mark.
const MARK: f64 = 4.0;

/// The drawing, with its mark at tip 1, 2 or 3.
pub(super) fn drawing(tip: usize) -> Vec<u8> {
    let corners: [[f64; 2]; 3] = std::array::from_fn(|k| {
        let angle = (90.0 - 120.0 * k as f64).to_radians();
        [CORNER * angle.cos(), -CORNER * angle.sin()]
    });
    let [wide, high] = SIZE;
    let mut rows = Vec::with_capacity(((wide + 1) * high) as usize);
    for row in 0..high {
        rows.push(0); // no filter
        for column in 0..wide {
            let at = [
                f64::from(column) - f64::from(wide) / 2.0,
                f64::from(row) - f64::from(high) / 2.0 - CORNER / 4.0,
            ];
            rows.push(shade(at, &corners, tip));
        }
    }
    png(&rows)
}

/// How bright a point is: bench, face, bore, mark.
fn shade(at: [f64; 2], corners: &[[f64; 2]; 3], tip: usize) -> u8 {
    let from = |[x, y]: [f64; 2]| (at[0] - x).hypot(at[1] - y);
    let flank = CORNER * 3.0_f64.sqrt();
    let marked = corners[(tip + 2) % 3];
    if (at[0] - marked[0]).abs() < MARK && (at[1] - marked[1]).abs() < MARK {
        255
    } else if from([0.0, 0.0]) < CORNER / 3.0 {
        40
    } else if corners.iter().all(|corner| from(*corner) < flank) {
        150
    } else {
        90
    }
}

/// An eight-bit grey picture, its rows stored as they are.
fn png(rows: &[u8]) -> Vec<u8> {
    let mut out = b"\x89PNG\r\n\x1a\n".to_vec();
    let mut header = Vec::new();
    header.extend(SIZE[0].to_be_bytes());
    header.extend(SIZE[1].to_be_bytes());
    header.extend([8, 0, 0, 0, 0]);
    chunk(&mut out, *b"IHDR", &header);
    chunk(&mut out, *b"IDAT", &stored(rows));
    chunk(&mut out, *b"IEND", &[]);
    out
}

fn chunk(out: &mut Vec<u8>, kind: [u8; 4], data: &[u8]) {
    // A drawing of this size is far below four gigabytes.
    out.extend(u32::try_from(data.len()).unwrap_or(0).to_be_bytes());
    let from = out.len();
    out.extend(kind);
    out.extend(data);
    let sum = crc(&out[from..]);
    out.extend(sum.to_be_bytes());
}

/// Bytes in a zlib stream without compression [RFC-1950], [RFC-1951].
fn stored(bytes: &[u8]) -> Vec<u8> {
    let mut out = vec![0x78, 0x01];
    let mut blocks = bytes.chunks(usize::from(u16::MAX)).peekable();
    while let Some(block) = blocks.next() {
        out.push(u8::from(blocks.peek().is_none()));
        let length = u16::try_from(block.len()).unwrap_or(u16::MAX);
        out.extend(length.to_le_bytes());
        out.extend((!length).to_le_bytes());
        out.extend(block);
    }
    out.extend(adler(bytes).to_be_bytes());
    out
}

fn adler(bytes: &[u8]) -> u32 {
    const PRIME: u32 = 65_521;
    let (a, b) = bytes.iter().fold((1, 0), |(a, b), byte| {
        let a = (a + u32::from(*byte)) % PRIME;
        (a, (b + a) % PRIME)
    });
    (b << 16) | a
}

fn crc(bytes: &[u8]) -> u32 {
    const POLYNOMIAL: u32 = 0xEDB8_8320;
    !bytes.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |sum, _| {
            (sum >> 1) ^ if sum & 1 == 1 { POLYNOMIAL } else { 0 }
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use records::{MediaType, media_type};

    #[test]
    fn sums_are_those_of_the_standards() {
        // The check value of this polynomial, and of the sum in the zlib format.
        assert_eq!(crc(b"123456789"), 0xCBF4_3926);
        assert_eq!(adler(b"abc"), 0x024D_0127);
    }

    #[test]
    fn a_drawing_is_a_png_and_its_mark_is_at_its_tip() {
        let [one, two] = [1, 2].map(drawing);
        assert_eq!(media_type(&one), Some(MediaType::Png));
        assert_ne!(one, two);
        assert!(one.ends_with(b"IEND\xAE\x42\x60\x82"));
        let dark = |picture: &[u8]| picture.iter().filter(|byte| **byte == 40).count();
        assert!(dark(&one) > 100);
    }
}
