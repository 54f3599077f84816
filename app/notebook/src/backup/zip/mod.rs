//! As much of the ZIP format as a backup needs.
//!
//! Source: PKWARE's `APPNOTE.TXT`, version 6.3.x, sections 4.3 (layout), 4.4
//! (fields); offsets from memory, checked in the tests against another
//! implementation. Written: one disk, no encryption, methods 0 (stored) and 8
//! (deflated), sizes in front of the data, no ZIP64. Read: the same, and sizes
//! behind the data too, as other programs write them.

mod crc;
mod directory;
mod salvage;
mod writer;

pub use crc::crc32;
pub use directory::{Entry, Listing, Place, entries, find_end, tail_len};
pub use salvage::Salvage;
pub use writer::Writer;

/// Method of data that is kept as it is.
pub const STORED: u16 = 0;

/// Method of deflated data (RFC 1951, without any wrapping).
pub const DEFLATED: u16 = 8;

/// Most files in an archive without ZIP64, whose mark is one more.
pub const MOST_FILES: usize = 65_534;

/// Most bytes of an archive without ZIP64, whose mark is one more.
pub const MOST_BYTES: u64 = 0xFFFF_FFFE;

/// Signature of the header in front of a file's data.
const LOCAL: u32 = 0x0403_4b50;
/// Signature of a file's entry in the directory.
const CENTRAL: u32 = 0x0201_4b50;
/// Signature of the end record.
const END: u32 = 0x0605_4b50;

/// Length of the header in front of a file's data, without name.
const LOCAL_LEN: usize = 30;
/// Length of a directory entry, without name.
const CENTRAL_LEN: usize = 46;
/// Length of the end record, without comment.
const END_LEN: usize = 22;

/// Bit of the flags: names are UTF-8.
const UTF8: u16 = 1 << 11;
/// Bits of the flags that say encrypted, strongly encrypted, directory hidden.
const SECRET: u16 = 1 | 1 << 6 | 1 << 13;
/// Bit of the flags: sizes and sum come after the data.
const SIZES_BEHIND: u16 = 1 << 3;

/// What both headers of a file say in the same 24 bytes: behind the version
/// needed, up to the lengths.
#[derive(Clone, Copy, Debug)]
struct Common {
    flags: u16,
    method: u16,
    crc: u32,
    packed: u64,
    raw: u64,
    name: usize,
    extra: usize,
}

impl Common {
    /// Reads them from their first byte, the flags.
    fn read(bytes: &[u8], at: usize) -> Option<Self> {
        let bytes = bytes.get(at..at + 24)?;
        Some(Self {
            flags: u16_at(bytes, 0)?,
            method: u16_at(bytes, 2)?,
            crc: u32_at(bytes, 8)?,
            packed: u32_at(bytes, 12)?.into(),
            raw: u32_at(bytes, 16)?.into(),
            name: u16_at(bytes, 20)?.into(),
            extra: u16_at(bytes, 22)?.into(),
        })
    }
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    let part = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_le_bytes(part.try_into().ok()?))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    let part = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes(part.try_into().ok()?))
}
