//! What the tests of the backup share: a caller that drives it as the app does,
//! with memory in the place of the browser, and a maker of ZIP files that can
//! lie.
#![allow(
    dead_code,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use flate2::Compression;
use notebook::backup::names::Is;
use notebook::backup::open::{Archive, File, Opening};
use notebook::backup::plan::Plan;
use notebook::backup::records::Elements;
use notebook::backup::write::{Layout, Made};
use notebook::backup::zip::{self, Writer};
use notebook::{Data, Edit, Keeper, Memory, Record, Row, Store};
use std::future::Future;
use std::io::{Read, Write};
use std::pin::pin;
use std::task::{Context, Poll, Waker};

/// 2026-03-12T08:30:00Z.
pub const NOW: i64 = 1_773_304_200_000;

/// Runs a future that never waits.
pub fn run<T>(future: impl Future<Output = T>) -> T {
    match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(value) => value,
        Poll::Pending => panic!("the store in memory never waits"),
    }
}

pub fn deflate(bytes: &[u8]) -> Vec<u8> {
    let mut to = flate2::write::DeflateEncoder::new(Vec::new(), Compression::default());
    to.write_all(bytes).unwrap();
    to.finish().unwrap()
}

/// Unpacks to `cap` bytes at most, as the browser does; one more shows that
/// there is more.
pub fn inflate(bytes: &[u8], cap: u64) -> Result<Vec<u8>, String> {
    let mut out = Vec::new();
    flate2::read::DeflateDecoder::new(bytes)
        .take(cap + 1)
        .read_to_end(&mut out)
        .map_err(|e| e.to_string())?;
    Ok(out)
}

/// An archive of these files; deflated or stored as `packed` says.
pub fn archive(files: &[(&str, &[u8], bool)]) -> Vec<u8> {
    let mut writer = Writer::new();
    let mut out = Vec::new();
    for (path, bytes, packed) in files {
        add(&mut writer, &mut out, path, bytes, *packed);
    }
    out.extend(writer.finish());
    out
}

pub fn add(writer: &mut Writer, out: &mut Vec<u8>, path: &str, bytes: &[u8], packed: bool) {
    let (data, method) = if packed {
        (deflate(bytes), zip::DEFLATED)
    } else {
        (bytes.to_vec(), zip::STORED)
    };
    let crc = zip::crc32(bytes, 0);
    let (raw, len) = (bytes.len() as u64, data.len() as u64);
    out.extend(writer.file(path, crc, raw, len, method, NOW).unwrap());
    out.extend(data);
    assert_eq!(writer.len(), out.len() as u64);
}

/// The backup of a store, made as the app makes it.
pub fn backup(store: &Memory) -> Vec<u8> {
    let mut layout = Layout::new(Made {
        app: "0.1.0".to_owned(),
        device: "kitchen phone".to_owned(),
        by: "d1".to_owned(),
        at: NOW,
    });
    let mut writer = Writer::new();
    let mut out = Vec::new();
    let mut files = Vec::new();
    for console in run(store.of_kind("console")).unwrap() {
        let rows = run(store.of_console(&console.id)).unwrap();
        files.extend(layout.console(&console.id, &rows));
    }
    let rows = run(store.rows_after("", u32::MAX)).unwrap();
    let others: Vec<Row> = rows.into_iter().filter(|r| layout.is_other(r)).collect();
    files.extend(layout.others(&others));
    for file in files {
        add(&mut writer, &mut out, &file.path, &file.bytes, true);
    }
    for id in run(store.photo_ids()).unwrap() {
        let path = layout.photo(&id).unwrap();
        let photo = run(store.photo(&id)).unwrap().unwrap();
        add(&mut writer, &mut out, &path, &photo, false);
    }
    for file in layout.last() {
        add(&mut writer, &mut out, &file.path, &file.bytes, true);
    }
    out.extend(writer.finish());
    out
}

/// A stretch of a file, as far as there is one.
pub fn slice(bytes: &[u8], (from, len): (u64, u64)) -> &[u8] {
    let end = bytes.len().min((from + len) as usize);
    bytes.get((from as usize).min(end)..end).unwrap()
}

pub fn open(bytes: &[u8]) -> Result<Archive, &'static str> {
    let mut opening = Opening::new(bytes.len() as u64);
    let mut asked = 0;
    let mut steps = 0;
    while let Some(want) = opening.want() {
        assert!(want.0 + want.1 <= bytes.len() as u64, "asks beyond the end");
        asked += want.1;
        steps += 1;
        opening.take(slice(bytes, want));
    }
    // Whatever is in the file, it is read about once.
    assert!(asked <= 3 * bytes.len() as u64 + 200_000, "read {asked}");
    assert!(steps <= 3 + bytes.len() / 30, "{steps} steps");
    opening.finish()
}

pub fn unpack(bytes: &[u8], file: &File) -> Result<Vec<u8>, String> {
    let entry = &file.entry;
    let body = entry.body(slice(bytes, entry.head()))?;
    let packed = slice(bytes, body);
    let raw = if entry.method == zip::DEFLATED {
        inflate(packed, entry.raw)?
    } else {
        packed.to_vec()
    };
    entry.check(&raw)?;
    Ok(raw)
}

/// What was read from a backup.
#[derive(Debug, Default)]
pub struct Got {
    pub plan: Plan,
    /// Everything that came out of the lists, whether new or not.
    pub records: Vec<Record>,
    pub photos: Vec<(String, Vec<u8>)>,
}

/// Reads a backup against a store, as the app does; writes if `write` says so.
pub fn read(bytes: &[u8], keeper: &Keeper<Memory>, write: bool) -> Result<Got, &'static str> {
    let archive = open(bytes)?;
    let mut got = Got {
        plan: Plan::new(&archive),
        ..Got::default()
    };
    let photos_here = run(keeper.store.photo_ids()).unwrap();
    for file in &archive.files {
        let path = &file.entry.path;
        let raw = match &file.is {
            Is::Damaged(_) => continue,
            _ => match unpack(bytes, file) {
                Ok(raw) => raw,
                Err(why) => {
                    got.plan.refused.add(path, &why);
                    continue;
                }
            },
        };
        match &file.is {
            Is::About => got.plan.about(&raw),
            Is::Records => lists(&mut got, keeper, path, &raw, write),
            Is::Photo(id) => {
                let here = run(keeper.store.photo(id)).unwrap();
                let here = here.map(|p| (zip::crc32(&p, 0), p.len() as u64));
                let row = run(keeper.store.row(id)).unwrap().is_some();
                let (crc, len) = (file.entry.crc, file.entry.raw);
                if got.plan.photo(id, crc, len, here, row) && write {
                    run(keeper.merge(&[], &[(id.clone(), raw.clone())])).unwrap();
                }
                got.photos.push((id.clone(), raw));
            }
            _ => {}
        }
    }
    got.plan.finish(&photos_here);
    Ok(got)
}

fn lists(got: &mut Got, keeper: &Keeper<Memory>, path: &str, raw: &[u8], write: bool) {
    let mut list = match Elements::new(raw) {
        Ok(list) => list,
        Err(why) => {
            got.plan.refused.add(path, why);
            return;
        }
    };
    loop {
        let batch = got.plan.batch(&mut list, path, 3);
        if batch.is_empty() {
            return;
        }
        got.records.extend(batch.clone());
        let rows: Vec<Option<Row>> = batch
            .iter()
            .map(|r| run(keeper.store.row(&r.id)).unwrap())
            .collect();
        let new = got.plan.take(batch, &rows);
        if write {
            assert!(run(keeper.merge(&new, &[])).unwrap().is_empty());
        }
    }
}

pub fn keeper(by: &str) -> Keeper<Memory> {
    Keeper {
        store: Memory::new(),
        by: by.to_owned(),
    }
}

pub fn data(json: &str) -> Data {
    serde_json::from_str(json).unwrap()
}

/// Saves one record over what is there.
pub fn save(keeper: &Keeper<Memory>, id: &str, kind: &str, json: &str, now: i64) {
    let row = run(keeper.store.row(id)).unwrap();
    let seen = row.map(|r| r.record(&mut Vec::new()).unwrap().seen());
    let edit = Edit {
        id: id.to_owned(),
        kind: kind.to_owned(),
        seen: seen.unwrap_or_default(),
        data: data(json),
        ..Edit::default()
    };
    run(keeper.save(&[edit], &[], now)).unwrap();
}

pub fn delete(keeper: &Keeper<Memory>, id: &str, now: i64) {
    let record = record(keeper, id);
    let edit = Edit {
        id: id.to_owned(),
        kind: record.kind.clone(),
        seen: record.seen(),
        gone: true,
        data: record.shown().unwrap().data.clone(),
        ..Edit::default()
    };
    run(keeper.save(&[edit], &[], now)).unwrap();
}

pub fn record(keeper: &Keeper<Memory>, id: &str) -> Record {
    let row = run(keeper.store.row(id)).unwrap().unwrap();
    row.record(&mut Vec::new()).unwrap()
}

/// A notebook of two consoles with a bit of everything.
pub fn notebook() -> Keeper<Memory> {
    let k = keeper("d1-a");
    save(
        &k,
        "c1",
        "console",
        r#"{"name":"attic find","book":"larkfield-orrery","serial":"77-K","photo":"p1"}"#,
        NOW,
    );
    save(
        &k,
        "c2",
        "console",
        r#"{"name":"blue stripe \u2013 \u00e9t\u00e9"}"#,
        NOW,
    );
    save(
        &k,
        "j1",
        "job",
        r#"{"console":"c1","name":"stops after two seconds","stage":"apart"}"#,
        NOW,
    );
    save(
        &k,
        "m1",
        "measurement",
        r#"{"console":"c1","job":"j1","day":"2026-03-12","quantity":"resistance","place":"V_CORE coil to ground","value":"0.42","percent":"0.8","counts":"3"}"#,
        NOW,
    );
    save(
        &k,
        "m1",
        "measurement",
        r#"{"console":"c1","job":"j1","day":"2026-03-12","quantity":"resistance","place":"V_CORE coil to ground","value":"0.43","percent":"0.8","counts":"3","sum":0.30000000000000004}"#,
        NOW + 5,
    );
    save(
        &k,
        "r1",
        "reading",
        r#"{"console":"c1","job":"j1","text":"slot 07  step 0A  code 44D0\n\u0000<b>\"\\]},{[","entries":[{"code":"44D0","step":"0A","time":"2C8F10B0","utc":"2023-09-07T12:00:00Z","count":1,"sure":true}]}"#,
        NOW,
    );
    save(&k, "n1", "note", r#"{"note":"of no console"}"#, NOW);
    save(
        &k,
        "n2",
        "note",
        r#"{"console":"c2","note":"=1+1 <script>alert(1)</script>"}"#,
        NOW,
    );
    save(
        &k,
        "x1",
        "from-a-newer-app",
        r#"{"console":"c2","glow":{"a":[1,2.5,null]}}"#,
        NOW,
    );
    save(&k, "p1", "photo", r#"{"console":"c1","wide":8}"#, NOW);
    delete(&k, "n2", NOW + 9);
    let photo: Vec<u8> = (0..3000u32).map(|n| ((n * n) >> 3) as u8).collect();
    run(k.merge(&[], &[("p1".to_owned(), photo)])).unwrap();
    k
}

/// A file in an archive that can lie. What is `None` is told truly.
#[derive(Clone, Default)]
pub struct Lie {
    pub name: Vec<u8>,
    pub data: Vec<u8>,
    pub flags: u16,
    pub method: u16,
    pub raw: Option<u32>,
    pub packed: Option<u32>,
    pub crc: Option<u32>,
    /// In the header in front of the data only.
    pub local_name: Option<Vec<u8>>,
    pub local_raw: Option<u32>,
    pub local_flags: Option<u16>,
    pub local_method: Option<u16>,
    /// Length of the extra field in front of the data, which is not there.
    pub local_extra: u16,
    pub at: Option<u32>,
    pub disk: u16,
    /// There is only an entry in the directory.
    pub without: bool,
    /// Sum and sizes stand behind the data (APPNOTE 4.3.9).
    pub behind: bool,
}

impl Lie {
    pub fn new(name: &str, data: &[u8]) -> Self {
        Self {
            name: name.as_bytes().to_vec(),
            data: data.to_vec(),
            flags: 1 << 11,
            ..Self::default()
        }
    }

    /// The same data, deflated, with the true length and sum.
    pub fn deflated(mut self) -> Self {
        self.raw.get_or_insert(self.data.len() as u32);
        self.crc.get_or_insert(zip::crc32(&self.data, 0));
        self.data = deflate(&self.data);
        self.method = 8;
        self
    }
}

/// The archive of these, its end, and where its directory begins.
pub fn lies(files: &[Lie]) -> Vec<u8> {
    let mut out = Vec::new();
    let mut directory = Vec::new();
    for f in files {
        let crc = f.crc.unwrap_or_else(|| zip::crc32(&f.data, 0));
        let packed = f.packed.unwrap_or(f.data.len() as u32);
        let raw = f.raw.unwrap_or(f.data.len() as u32);
        let at = f.at.unwrap_or(out.len() as u32);
        let part = |flags: u16, method: u16, raw: u32, name: &[u8]| {
            let mut b = Vec::new();
            for n in [20, flags, method, 0, 0x21] {
                b.extend(u16::to_le_bytes(n));
            }
            for n in [crc, packed, raw] {
                b.extend(n.to_le_bytes());
            }
            b.extend((name.len() as u16).to_le_bytes());
            b.extend([0; 2]);
            b
        };
        if !f.without {
            let name = f.local_name.as_ref().unwrap_or(&f.name);
            let mut header = part(
                f.local_flags.unwrap_or(f.flags),
                f.local_method.unwrap_or(f.method),
                f.local_raw.unwrap_or(raw),
                name,
            );
            header[24..26].copy_from_slice(&f.local_extra.to_le_bytes());
            if f.behind {
                header[2] |= 8;
                header[10..22].fill(0);
            }
            out.extend(b"PK\x03\x04");
            out.extend(header);
            out.extend(name);
            out.extend(&f.data);
            if f.behind {
                out.extend(b"PK\x07\x08");
                for n in [crc, packed, raw] {
                    out.extend(n.to_le_bytes());
                }
            }
        }
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(part(f.flags, f.method, raw, &f.name));
        directory.extend([0; 2]);
        directory.extend(f.disk.to_le_bytes());
        directory.extend([0; 6]);
        directory.extend(at.to_le_bytes());
        directory.extend(&f.name);
    }
    let at = out.len() as u32;
    let len = directory.len() as u32;
    out.extend(directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend((files.len() as u16).to_le_bytes());
    out.extend((files.len() as u16).to_le_bytes());
    out.extend(len.to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0; 2]);
    out
}
