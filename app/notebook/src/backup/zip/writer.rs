//! Writing an archive: the bytes in front of each file and those at the end.

use super::{CENTRAL, END, LOCAL, MOST_BYTES, MOST_FILES, UTF8};
use reading::calendar::DateTime;

/// Writes an archive. It makes the headers; the caller puts the data between.
#[derive(Debug, Default)]
pub struct Writer {
    /// The directory, as it grows.
    directory: Vec<u8>,
    files: usize,
    /// Where the next header goes.
    at: u64,
}

impl Writer {
    /// An empty archive.
    pub fn new() -> Self {
        Self::default()
    }

    /// The header of the next file. The caller puts it into the archive, and
    /// after it exactly `packed` bytes of data. `crc` and `raw` are of the data
    /// before packing, `method` is [`super::STORED`] or [`super::DEFLATED`],
    /// `when` in milliseconds since 1970, kept with 2 s exactness and only
    /// between 1980 and 2107.
    ///
    /// # Errors
    /// When the archive would get too large for any program to read, or the
    /// name is not sound. The archive stays as it was.
    pub fn file(
        &mut self,
        path: &str,
        crc: u32,
        raw: u64,
        packed: u64,
        method: u16,
        when: i64,
    ) -> Result<Vec<u8>, &'static str> {
        if let Some(fault) = super::super::names::fault(path) {
            return Err(fault);
        }
        let name_len = u16::try_from(path.len()).map_err(|_| TOO_LARGE)?;
        let (Ok(raw), Ok(packed), Ok(at)) = (
            u32::try_from(raw),
            u32::try_from(packed),
            u32::try_from(self.at),
        ) else {
            return Err(TOO_LARGE);
        };
        // Version needed (2.0), flags, method, time, date, sum, sizes, lengths:
        // the same bytes in both headers.
        let mut common = Vec::with_capacity(26);
        let (date, time) = dos(when);
        for number in [20, UTF8, method, time, date] {
            common.extend(number.to_le_bytes());
        }
        for number in [crc, packed, raw] {
            common.extend(number.to_le_bytes());
        }
        common.extend(name_len.to_le_bytes());
        common.extend([0; 2]);

        let mut header = LOCAL.to_le_bytes().to_vec();
        header.extend(&common);
        header.extend(path.as_bytes());

        let end = self.at + header.len() as u64 + u64::from(packed);
        // Room for this entry and the end record.
        let directory = (self.directory.len() + 46 + path.len() + 22) as u64;
        if self.files >= MOST_FILES || end + directory > MOST_BYTES {
            return Err(TOO_LARGE);
        }
        self.directory.extend(CENTRAL.to_le_bytes());
        self.directory.extend(20u16.to_le_bytes());
        self.directory.extend(&common);
        // Comment length, disk, attributes (2 and 4 bytes): none.
        self.directory.extend([0; 10]);
        self.directory.extend(at.to_le_bytes());
        self.directory.extend(path.as_bytes());
        self.files += 1;
        self.at = end;
        Ok(header)
    }

    /// How many bytes the archive has so far, without its end.
    pub fn len(&self) -> u64 {
        self.at
    }

    /// Whether there is no file in it yet.
    pub fn is_empty(&self) -> bool {
        self.files == 0
    }

    /// The end of the archive.
    pub fn finish(self) -> Vec<u8> {
        let mut out = self.directory;
        // `file` kept all three in their limits.
        let size = u32::try_from(out.len()).unwrap_or(u32::MAX);
        let files = u16::try_from(self.files).unwrap_or(u16::MAX);
        let at = u32::try_from(self.at).unwrap_or(u32::MAX);
        out.extend(END.to_le_bytes());
        out.extend([0; 4]);
        out.extend(files.to_le_bytes());
        out.extend(files.to_le_bytes());
        out.extend(size.to_le_bytes());
        out.extend(at.to_le_bytes());
        out.extend([0; 2]);
        out
    }
}

const TOO_LARGE: &str = "The backup would get larger than a ZIP file can be: 65,534 files, 4 GiB.";

/// Date and time as MS-DOS kept them (APPNOTE 4.4.6).
fn dos(when: i64) -> (u16, u16) {
    // 1980-01-01 and 2107-12-31T23:59:58.
    let seconds = when.div_euclid(1000).clamp(315_532_800, 4_354_819_198);
    let Some(d) = DateTime::at(seconds) else {
        return (0x21, 0);
    };
    let date = ((d.year - 1980) << 9) + (d.month << 5) + d.day;
    let time = (d.hour << 11) + (d.minute << 5) + d.second / 2;
    (
        u16::try_from(date).unwrap_or(0x21),
        u16::try_from(time).unwrap_or(0),
    )
}
