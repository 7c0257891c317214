//! Rows of samples as bytes: end, numbers, length of the reason, reason.

use crate::study::result::End;
use crate::study::scatter::Row;

/// Longest reason kept of a sample, bytes.
const LONGEST_WHY: usize = 300;

/// Adds a row.
pub(super) fn put_row(row: &Row, payload: &mut Vec<u8>) {
    payload.push(code(row.end));
    for value in &row.values {
        payload.extend_from_slice(&value.to_le_bytes());
    }
    let mut why = row.why.as_str();
    while why.len() > LONGEST_WHY {
        let cut = why.char_indices().nth_back(0).map_or(0, |c| c.0);
        why = &why[..cut];
    }
    payload.extend_from_slice(&(why.len() as u16).to_le_bytes());
    payload.extend_from_slice(why.as_bytes());
}

/// A row of so many numbers at the front of bytes, its reason, and what stands behind.
pub(super) fn split_row(bytes: &[u8], width: usize) -> Option<(&[u8], &[u8], &[u8])> {
    let (row, after) = bytes.split_at_checked(1 + 8 * width)?;
    let (length, after) = after.split_at_checked(2)?;
    let length = usize::from(u16::from_le_bytes([length[0], length[1]]));
    let (why, after) = after.split_at_checked(length)?;
    Some((row, why, after))
}

pub(super) fn number(bytes: &[u8]) -> f64 {
    f64::from_le_bytes(bytes.try_into().unwrap_or_default())
}

fn code(end: End) -> u8 {
    match end {
        End::Held => 0,
        End::LostInPush => 1,
        End::NotHeld => 2,
        End::Uncertified => 3,
        End::Impossible => 4,
    }
}

pub(super) fn decoded(code: u8) -> End {
    match code {
        0 => End::Held,
        1 => End::LostInPush,
        2 => End::NotHeld,
        4 => End::Impossible,
        _ => End::Uncertified,
    }
}
