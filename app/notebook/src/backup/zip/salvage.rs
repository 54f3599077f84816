//! Finding the files of an archive whose end is missing or damaged.
//!
//! Every file has a header in front of its data. From header to header the
//! archive is walked; where no header stands, the next one is searched for.
//! What was cut off is listed.

use super::directory::{Entry, Gather, Listing};
use super::{Common, LOCAL, LOCAL_LEN, SIZES_BEHIND, u32_at};
use crate::backup::names::PATH_LIMIT;

/// Bytes that are read at a time.
const CHUNK: u64 = 64 << 10;

/// The walk through an archive.
#[derive(Debug)]
pub struct Salvage {
    len: u64,
    at: u64,
    gather: Gather,
}

impl Salvage {
    /// Begins, for a file of this length.
    pub fn new(len: u64) -> Self {
        Self {
            len,
            at: 0,
            gather: Gather::new(len),
        }
    }

    /// The stretch to hand to [`Salvage::take`]: its first byte and its length.
    /// `None` at the end.
    pub fn want(&self) -> Option<(u64, u64)> {
        let left = self.len.saturating_sub(self.at);
        (left >= LOCAL_LEN as u64 && !self.gather.full()).then(|| (self.at, left.min(CHUNK)))
    }

    /// Takes the bytes that [`Salvage::want`] asked for. With fewer bytes the
    /// walk ends there.
    pub fn take(&mut self, bytes: &[u8]) {
        let from = self.at;
        let whole = self.want() == Some((from, bytes.len() as u64));
        let last = !whole || from + bytes.len() as u64 >= self.len;
        // Beyond this a header might be cut by the end of the chunk.
        let sure = bytes
            .len()
            .saturating_sub(if last { 0 } else { LOCAL_LEN + PATH_LIMIT });
        let mut at = 0;
        while at < sure && !self.gather.full() {
            let rest = bytes.get(at..).unwrap_or(&[]);
            let step = if u32_at(rest, 0) == Some(LOCAL) {
                self.header(rest, from + at as u64)
            } else {
                // To the next `P`, which every header begins with.
                let next = rest.iter().skip(1).position(|b| *b == b'P');
                next.map_or(rest.len(), |n| n + 1) as u64
            };
            at = at.saturating_add(usize::try_from(step).unwrap_or(usize::MAX));
        }
        self.at = from.saturating_add(at as u64);
        if !whole {
            self.at = self.len;
        }
    }

    /// Reads a header and says how far to go on.
    fn header(&mut self, rest: &[u8], at: u64) -> u64 {
        // The signature only: what follows may still be another header.
        const ON: u64 = 4;
        let read = || {
            let common = Common::read(rest, 6)?;
            let name = rest.get(LOCAL_LEN..LOCAL_LEN + common.name)?;
            let path = std::str::from_utf8(name).ok()?.to_owned();
            Some((Entry::new(path, common, at), common))
        };
        let Some((entry, common)) = read() else {
            return ON;
        };
        let head = (LOCAL_LEN + common.name + common.extra) as u64;
        let end = at + head + entry.packed;
        let (fault, step) = if common.flags & SIZES_BEHIND != 0 {
            (Some("The size of the file is not known."), ON)
        } else if end > self.len {
            (Some("The file is cut off."), ON)
        } else {
            let fault = entry.fault(common.flags);
            let step = if fault.is_none() {
                head + entry.packed
            } else {
                ON
            };
            (fault, step)
        };
        self.gather.add(entry, common.name, fault);
        step
    }

    /// What was found.
    pub fn finish(self) -> Listing {
        self.gather.finish()
    }
}
