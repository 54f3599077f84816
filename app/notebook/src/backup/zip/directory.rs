//! Reading an archive from its end: the end record, the directory, and the
//! header in front of each file.
//!
//! An archive says many things twice (in the directory and in front of the
//! data). Programs that believe the one or the other see different files; here
//! both have to agree.

use super::{
    CENTRAL, CENTRAL_LEN, Common, DEFLATED, END, END_LEN, LOCAL, LOCAL_LEN, MOST_FILES, SECRET,
    SIZES_BEHIND, STORED, crc32, u16_at, u32_at,
};
use crate::backup::{FILE_LIMIT, RefusedList, names};
use crate::record::Data;
use reading::sorted;
use serde_json::Value;

/// Most bytes of directory that are read: room for 65,534 files with long names.
const DIRECTORY_LIMIT: u64 = 32 << 20;

/// Deflate makes at most 258 bytes from 2 bits, so a file can't grow more than
/// this many times when unpacked (1032 times, and some bytes for the ends).
const MOST_GROWTH: u64 = 1040;

/// Where the directory stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Its first byte.
    pub at: u64,
    /// Its length in bytes.
    pub len: u64,
    /// How many entries it has.
    pub files: usize,
}

/// One file of an archive that may be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Entry {
    /// Its path.
    pub path: String,
    /// [`STORED`] or [`DEFLATED`].
    pub method: u16,
    /// CRC-32 of the unpacked data.
    pub crc: u32,
    /// Bytes in the archive.
    pub packed: u64,
    /// Bytes when unpacked.
    pub raw: u64,
    /// Where its header stands.
    pub(super) at: u64,
    /// The first byte behind its header that can't be its own.
    pub(super) end: u64,
}

/// The files of an archive.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Listing {
    /// Those that may be read, by their place in the archive.
    pub entries: Vec<Entry>,
    /// The others, and why not.
    pub refused: RefusedList,
}

/// How many bytes from the end of a file of this length [`find_end`] wants.
pub fn tail_len(file_len: u64) -> u64 {
    file_len.min((END_LEN + 0xFFFF) as u64)
}

/// Finds the directory. `tail` is the last [`tail_len`] bytes of the file.
///
/// # Errors
/// Why this is no archive that can be read from its end. [`super::Salvage`] may
/// still find files.
pub fn find_end(tail: &[u8], file_len: u64) -> Result<Place, &'static str> {
    let mut found = None;
    let last = tail.len().checked_sub(END_LEN).ok_or(NO_END)?;
    for at in (0..=last).rev() {
        if u32_at(tail, at) == Some(END)
            && u16_at(tail, at + 20).is_some_and(|n| at + END_LEN + usize::from(n) == tail.len())
        {
            if found.is_some() {
                return Err("The file has two ends, so it can be read in two ways.");
            }
            found = Some(at);
        }
    }
    let at = found.ok_or(NO_END)?;
    let short = |from: usize| u16_at(tail, at + from).ok_or(NO_END);
    let long = |from: usize| u32_at(tail, at + from).ok_or(NO_END);
    let (disk, first, here, all) = (short(4)?, short(6)?, short(8)?, short(10)?);
    let (len, start) = (long(12)?, long(16)?);
    if all == 0xFFFF || len == u32::MAX || start == u32::MAX {
        return Err("The file uses ZIP64, for archives of more than 4 GiB.");
    }
    if disk != 0 || first != 0 || here != all {
        return Err("The file is one part of several.");
    }
    let place = Place {
        at: u64::from(start),
        len: u64::from(len),
        files: usize::from(all),
    };
    let end = file_len.checked_sub((tail.len() - at) as u64);
    if Some(place.at + place.len) != end {
        return Err("The list of files is not where the end of the file says.");
    }
    if place.len > DIRECTORY_LIMIT || place.files > MOST_FILES {
        return Err("The list of files is too long.");
    }
    Ok(place)
}

const NO_END: &str = "The end of the file is missing.";
const BROKEN: &str = "The list of files in the backup is damaged.";

/// Reads the directory. `bytes` are those at `place`.
///
/// # Errors
/// When the directory as a whole can't be trusted. A single file that can't is
/// listed as refused instead.
pub fn entries(bytes: &[u8], place: &Place) -> Result<Listing, &'static str> {
    let mut gather = Gather::new(place.at);
    let mut rest = bytes;
    for _ in 0..place.files {
        if u32_at(rest, 0) != Some(CENTRAL) {
            return Err(BROKEN);
        }
        let common = Common::read(rest, 8).ok_or(BROKEN)?;
        let name_end = CENTRAL_LEN + common.name;
        let comment = u16_at(rest, 32).ok_or(BROKEN)?;
        let len = name_end + common.extra + usize::from(comment);
        let name = rest.get(CENTRAL_LEN..name_end).ok_or(BROKEN)?;
        let at = u32_at(rest, 42).ok_or(BROKEN)?;
        let path = String::from_utf8_lossy(name).into_owned();
        let entry = Entry::new(path, common, at.into());
        let fault = if std::str::from_utf8(name).is_err() {
            Some("The name is not written in UTF-8.")
        } else if u16_at(rest, 34) != Some(0) {
            Some("The file is in another part of the archive.")
        } else {
            entry.fault(common.flags)
        };
        gather.add(entry, name.len(), fault);
        rest = rest.get(len..).ok_or(BROKEN)?;
    }
    if !rest.is_empty() {
        return Err(BROKEN);
    }
    Ok(gather.finish())
}

impl Entry {
    pub(super) fn new(path: String, common: Common, at: u64) -> Self {
        Self {
            path,
            method: common.method,
            crc: common.crc,
            packed: common.packed,
            raw: common.raw,
            at,
            end: 0,
        }
    }

    /// The stretch of the archive to hand to [`Entry::body`]: where it begins
    /// and how long it is.
    pub fn head(&self) -> (u64, u64) {
        (self.at, (LOCAL_LEN + self.path.len()) as u64)
    }

    /// Where the data stands: its first byte and its length. Deflated data is
    /// to be unpacked to `raw` bytes; when more come out the caller stops and
    /// refuses the file.
    ///
    /// # Errors
    /// When the header in front of the data does not agree with the directory.
    pub fn body(&self, head: &[u8]) -> Result<(u64, u64), &'static str> {
        const OTHER: &str = "The file is not what the list of files says.";
        let c = Common::read(head, 6).ok_or(OTHER)?;
        let agrees = u32_at(head, 0) == Some(LOCAL)
            && c.flags & SECRET == 0
            && c.method == self.method
            && c.name == self.path.len()
            && head.get(LOCAL_LEN..) == Some(self.path.as_bytes())
            && (c.flags & SIZES_BEHIND != 0
                || (c.crc, c.packed, c.raw) == (self.crc, self.packed, self.raw));
        let (at, len) = self.head();
        let from = at + len + c.extra as u64;
        if !agrees || from + self.packed > self.end {
            return Err(OTHER);
        }
        Ok((from, self.packed))
    }

    /// Whether the data is what was put in.
    ///
    /// # Errors
    /// When its length or its sum is another.
    pub fn check(&self, raw: &[u8]) -> Result<(), &'static str> {
        if raw.len() as u64 != self.raw {
            Err("The file unpacks to another size than it says.")
        } else if crc32(raw, 0) != self.crc {
            Err("The file is damaged: its sum does not fit.")
        } else {
            Ok(())
        }
    }

    /// Why this file can't be read, as far as its entry tells.
    pub(super) fn fault(&self, flags: u16) -> Option<&'static str> {
        let mark = u64::from(u32::MAX);
        if flags & SECRET != 0 {
            Some("The file is encrypted.")
        } else if self.packed == mark || self.raw == mark || self.at == mark {
            Some("The file uses ZIP64, for files of more than 4 GiB.")
        } else if self.method != STORED && self.method != DEFLATED {
            Some("The file is packed in a way this app can't unpack.")
        } else if self.raw > FILE_LIMIT {
            Some("The file would unpack to more than 64 MiB.")
        } else if self.method == STORED && self.raw != self.packed
            || self.raw / MOST_GROWTH > self.packed
        {
            Some("The sizes of the file can't be true.")
        } else {
            names::fault(&self.path)
        }
    }
}

/// Gathers entries and weighs them against each other.
#[derive(Debug, Default)]
pub(super) struct Gather {
    all: Vec<(Entry, u64, Option<&'static str>)>,
    /// Where files have to end.
    limit: u64,
    names: Data,
}

impl Gather {
    pub(super) fn new(limit: u64) -> Self {
        Self {
            limit,
            ..Self::default()
        }
    }

    /// Takes an entry. `fault` is what is wrong with it alone.
    pub(super) fn add(&mut self, entry: Entry, name_len: usize, fault: Option<&'static str>) {
        let end = entry.at + (LOCAL_LEN + name_len) as u64 + entry.packed;
        let twice = self.names.insert(entry.path.clone(), Value::Null).is_some();
        let fault = if fault.is_some() {
            fault
        } else if twice {
            Some("There is another file of this name. The first one counts.")
        } else if end > self.limit {
            Some("The file would be longer than the backup.")
        } else {
            None
        };
        self.all.push((entry, end, fault));
    }

    pub(super) fn full(&self) -> bool {
        self.all.len() >= MOST_FILES
    }

    /// What may be read. Files that share bytes are all refused, and so are
    /// those beyond the total that a backup of this size can honestly unpack to.
    pub(super) fn finish(mut self) -> Listing {
        const SHARED: &str = "The file shares its bytes with another file.";
        let mut order: Vec<(u64, usize)> = self.all.iter().map(|one| one.0.at).zip(0..).collect();
        sorted::sort(&mut order);
        let mut listing = Listing::default();
        // Photos don't shrink much, text shrinks some ten times.
        let mut left = (256 << 20) + 20 * self.limit;
        let mut reached = 0;
        let mut last: Option<Entry> = None;
        for (_, place) in order {
            let Some((entry, end, fault)) = self.all.get_mut(place) else {
                continue;
            };
            let mut entry = std::mem::take(entry);
            let shared = entry.at < reached;
            let why = match *fault {
                Some(why) => why,
                None if shared => SHARED,
                None if entry.raw > left => "The backup would unpack to too much.",
                None => "",
            };
            if fault.is_none() {
                if let Some(mut last) = last.take() {
                    if shared {
                        listing.refused.add(&last.path, SHARED);
                    } else {
                        last.end = entry.at;
                        listing.entries.push(last);
                    }
                }
                reached = reached.max(*end);
            }
            if why.is_empty() {
                left -= entry.raw;
                entry.end = self.limit;
                last = Some(entry);
            } else {
                listing.refused.add(&entry.path, why);
            }
        }
        listing.entries.extend(last);
        listing
    }
}
