//! CRC-32 as ZIP, gzip and PNG use it.
//!
//! Source: RFC 1952 section 8 and the PNG specification, annex D: polynomial
//! `EDB88320` (reflected), begin and end with all bits turned. The tables are
//! made when needed: 4 KB that need not travel with the program, and making
//! them takes as long as the sum of some kilobytes.

/// The sum of these bytes after those that gave `running`; 0 to begin with.
pub fn crc32(bytes: &[u8], running: u32) -> u32 {
    let tables = tables();
    let look = |table: usize, byte: u32| {
        let byte = usize::from(byte.to_le_bytes().first().copied().unwrap_or(0));
        tables
            .get(table)
            .and_then(|t| t.get(byte))
            .copied()
            .unwrap_or(0)
    };
    let mut sum = !running;
    let (fours, rest) = bytes.as_chunks::<4>();
    for four in fours {
        let x = sum ^ u32::from_le_bytes(*four);
        sum = look(3, x) ^ look(2, x >> 8) ^ look(1, x >> 16) ^ look(0, x >> 24);
    }
    for byte in rest {
        sum = look(0, sum ^ u32::from(*byte)) ^ (sum >> 8);
    }
    !sum
}

/// What a byte does to the sum when 0, 1, 2 or 3 further bytes follow it.
fn tables() -> [[u32; 256]; 4] {
    let step = |sum: u32| (0..8).fold(sum, |s, _| (s >> 1) ^ ((s & 1) * 0xEDB8_8320));
    let mut all = [[0; 256]; 4];
    for (number, place) in (0u32..256).zip(0..) {
        let mut sum = number;
        for table in &mut all {
            sum = step(sum);
            if let Some(cell) = table.get_mut::<usize>(place) {
                *cell = sum;
            }
        }
    }
    all
}
