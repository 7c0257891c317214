//! Checksums of chunks and texts.

/// FNV-1a in 64 bits (Fowler, Noll and Vo): against torn and damaged chunks, not against malice.
pub(super) fn checksum(bytes: &[u8]) -> u64 {
    checksum_of(&[bytes])
}

/// The same of pieces as if they stood one behind the other.
pub(super) fn checksum_of(pieces: &[&[u8]]) -> u64 {
    let bytes = pieces.iter().copied().flatten();
    bytes.fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3))
}
