//! The ZIP format of the backup, against other hands' programs, and against
//! archives made to do harm.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod backup_help;

use backup_help::*;
use notebook::backup::zip::{self as own, Writer, crc32};
use proptest::prelude::*;
use std::io::{Cursor, Read, Write};

/// Check value of CRC-32 for the nine digits: Ross Williams, "A painless guide
/// to CRC error detection algorithms" (shared/references.md, h7). The other is
/// the sum at the end of every PNG file, over the name of its last chunk.
#[test]
fn the_sum_has_the_published_check_values() {
    assert_eq!(crc32(b"123456789", 0), 0xCBF4_3926);
    assert_eq!(crc32(b"IEND", 0), 0xAE42_6082);
    assert_eq!(crc32(b"", 0), 0);
}

proptest! {
    /// flate2 brings a CRC-32 of its own.
    #[test]
    fn the_sum_is_that_of_another_program(a: Vec<u8>, b: Vec<u8>) {
        let mut other = flate2::Crc::new();
        other.update(&a);
        prop_assert_eq!(crc32(&a, 0), other.sum());
        other.update(&b);
        prop_assert_eq!(crc32(&b, crc32(&a, 0)), other.sum());
    }
}

fn files() -> Vec<(&'static str, Vec<u8>, bool)> {
    let long: Vec<u8> = (0..200_000u32)
        .flat_map(|n| (n / 7).to_le_bytes())
        .collect();
    vec![
        ("README.txt", b"plain".to_vec(), false),
        ("photos/p1.jpg", (0..=255).collect(), false),
        ("consoles/\u{e9}t\u{e9}-c1/records.json", long, true),
        ("empty", Vec::new(), false),
        ("empty-packed", Vec::new(), true),
    ]
}

fn ours() -> Vec<u8> {
    let files = files();
    let list: Vec<(&str, &[u8], bool)> = files
        .iter()
        .map(|(p, b, d)| (*p, b.as_slice(), *d))
        .collect();
    archive(&list)
}

#[test]
fn another_program_reads_what_is_written_here() {
    let mut other = zip::ZipArchive::new(Cursor::new(ours())).unwrap();
    assert_eq!(other.len(), files().len());
    for (n, (path, bytes, packed)) in files().into_iter().enumerate() {
        let mut file = other.by_index(n).unwrap();
        let when = file.last_modified().unwrap();
        assert_eq!(file.name(), path);
        assert_eq!(
            (
                when.year(),
                when.month(),
                when.day(),
                when.hour(),
                when.minute(),
                when.second()
            ),
            (2026, 3, 12, 8, 30, 0)
        );
        let method = if packed {
            zip::CompressionMethod::Deflated
        } else {
            zip::CompressionMethod::Stored
        };
        assert_eq!(file.compression(), method);
        let mut read = Vec::new();
        // Checks the sum too.
        file.read_to_end(&mut read).unwrap();
        assert_eq!(read, bytes);
    }
}

#[test]
fn what_another_program_writes_is_read_here() {
    let mut to = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (path, bytes, packed) in files() {
        let method = if packed {
            zip::CompressionMethod::Deflated
        } else {
            zip::CompressionMethod::Stored
        };
        let options = zip::write::SimpleFileOptions::default().compression_method(method);
        to.start_file(path, options).unwrap();
        to.write_all(&bytes).unwrap();
    }
    to.set_comment("made elsewhere PK\u{5}\u{6}");
    let bytes = to.finish().unwrap().into_inner();
    same_files(&bytes);
}

/// As programs write that can't go back in their output.
#[test]
fn sizes_behind_the_data_are_read_from_the_directory() {
    let all: Vec<Lie> = files()
        .iter()
        .map(|(path, bytes, packed)| {
            let lie = Lie {
                behind: true,
                flags: 1 << 11 | 8,
                ..Lie::new(path, bytes)
            };
            if *packed { lie.deflated() } else { lie }
        })
        .collect();
    let bytes = lies(&all);
    same_files(&bytes);
    // The other program takes it for an archive as well.
    let mut other = zip::ZipArchive::new(Cursor::new(&bytes)).unwrap();
    let mut read = Vec::new();
    other.by_index(2).unwrap().read_to_end(&mut read).unwrap();
    assert_eq!(read, files()[2].1);
    // Without the end there is no telling how long they are.
    let found = salvaged(&bytes[..bytes.len() - 1]);
    assert_eq!(found.entries, []);
    assert_eq!(found.refused.count(), 5);
}

fn same_files(bytes: &[u8]) {
    let listing = listing(bytes).unwrap();
    assert_eq!(listing.refused.list, []);
    assert_eq!(listing.entries.len(), files().len());
    for (entry, (path, raw, _)) in listing.entries.into_iter().zip(files()) {
        assert_eq!(entry.path, path);
        let is = notebook::backup::names::Is::Unknown;
        let file = notebook::backup::open::File { entry, is };
        assert_eq!(unpack(bytes, &file).unwrap(), raw);
    }
}

fn listing(bytes: &[u8]) -> Result<own::Listing, &'static str> {
    let len = bytes.len() as u64;
    let tail = own::tail_len(len);
    let place = own::find_end(slice(bytes, (len - tail, tail)), len)?;
    own::entries(slice(bytes, (place.at, place.len)), &place)
}

/// Python is not needed for the tests; where it is, it is asked as well.
#[test]
fn python_reads_it_too_where_there_is_python() {
    let path = std::env::temp_dir().join(format!("own-{}.zip", std::process::id()));
    std::fs::write(&path, ours()).unwrap();
    let script = "
import sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
class Stream:  # can't go back
    def write(self, b): return sys.stdout.buffer.write(b)
    def flush(self): pass
assert z.testzip() is None
with zipfile.ZipFile(Stream(), 'w', zipfile.ZIP_DEFLATED) as to:
    for i in z.infolist():
        to.writestr(i.filename, z.read(i))
";
    let out = std::process::Command::new("python3")
        .args(["-c", script])
        .arg(&path)
        .output();
    std::fs::remove_file(&path).unwrap();
    match out {
        Ok(out) if out.status.success() => {
            assert_ne!(out.stdout[6] & 8, 0, "sizes are not behind the data");
            same_files(&out.stdout);
        }
        Ok(out) if String::from_utf8_lossy(&out.stderr).contains("Traceback") => {
            panic!("{}", String::from_utf8_lossy(&out.stderr))
        }
        other => println!("no python3 that runs, so it was not asked: {other:?}"),
    }
}

#[test]
fn an_archive_that_would_get_too_large_is_refused_and_stays_readable() {
    let mut writer = Writer::new();
    let mut bytes = Vec::new();
    for n in 0..65_534 {
        let name = n.to_string();
        bytes.extend(writer.file(&name, 0, 0, 0, 0, NOW).unwrap());
    }
    assert!(writer.file("one more", 0, 0, 0, 0, NOW).is_err());
    bytes.extend(writer.finish());
    assert_eq!(listing(&bytes).unwrap().entries.len(), 65_534);
    assert_eq!(
        zip::ZipArchive::new(Cursor::new(bytes)).unwrap().len(),
        65_534
    );

    let mut writer = Writer::new();
    let half = 1 << 31;
    assert!(writer.file("a", 0, half, half, 0, NOW).is_ok());
    let before = writer.len();
    assert!(writer.file("b", 0, half, half, 0, NOW).is_err());
    assert!(writer.file("b", 0, 1 << 32, 5, 8, NOW).is_err());
    assert!(writer.file("../b", 0, 5, 5, 0, NOW).is_err());
    assert_eq!(writer.len(), before);
    // The last byte that fits: header 30 + 1, entry 46 + 1, end 22, and the
    // same for the first.
    let most = own::MOST_BYTES - half - 31 - 47 - 31 - 47 - 22;
    assert!(writer.file("b", 0, most + 1, most + 1, 0, NOW).is_err());
    assert!(writer.file("b", 0, most, most, 0, NOW).is_ok());
}

#[test]
fn times_outside_what_the_format_can_say_are_moved_to_its_ends() {
    for (when, year) in [(0, 1980), (i64::MIN, 1980), (i64::MAX, 2107), (NOW, 2026)] {
        let mut writer = Writer::new();
        let mut bytes = writer.file("a", 0, 0, 0, 0, when).unwrap();
        bytes.extend(writer.finish());
        let mut other = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let found = other.by_index(0).unwrap().last_modified().unwrap();
        assert_eq!(found.year(), year);
    }
}

type Case = (&'static str, Vec<Lie>, &'static str, &'static str);

/// What is refused: what it is, the files, the path that is listed, and a part
/// of the reason. The file `good` beside it is read in every case.
fn hostile() -> Vec<Case> {
    let zeros = vec![0; 1 << 20];
    let bad = |name: &str| vec![Lie::new(name, b"x")];
    let one = |change: &dyn Fn(&mut Lie)| {
        let mut lie = Lie::new("bad", b"some bytes");
        change(&mut lie);
        vec![lie]
    };
    let long = "d/".repeat(200) + "x";
    vec![
        ("up", bad("../bad"), "../bad", "leave its folder"),
        ("up inside", bad("a/../../bad"), "a/../", "leave its folder"),
        ("root", bad("/etc/bad"), "/etc/bad", "root"),
        ("backslash", bad("..\\bad"), "..\\bad", "backslash"),
        ("drive", bad("C:bad"), "C:bad", "colon"),
        ("here", bad("./bad"), "./bad", "leave its folder"),
        ("double slash", bad("a//bad"), "a//bad", "leave its folder"),
        ("nul", bad("bad\0.jpg"), "bad\u{fffd}.jpg", "does not show"),
        (
            "line end",
            bad("bad\n.jpg"),
            "bad\u{fffd}.jpg",
            "does not show",
        ),
        (
            "turned around",
            bad("gpj.\u{202e}bad"),
            "gpj.\u{fffd}bad",
            "does not show",
        ),
        ("no name", bad(""), "", "no name"),
        (
            "long name",
            vec![Lie::new(&long, b"x")],
            "d/d/",
            "longer than",
        ),
        (
            "no UTF-8",
            one(&|l| l.name = vec![b'b', 0xE9]),
            "b\u{fffd}",
            "UTF-8",
        ),
        ("encrypted", one(&|l| l.flags |= 1), "bad", "encrypted"),
        (
            "strongly encrypted",
            one(&|l| l.flags |= 1 << 6),
            "bad",
            "encrypted",
        ),
        ("method 12", one(&|l| l.method = 12), "bad", "can't unpack"),
        ("other disk", one(&|l| l.disk = 1), "bad", "another part"),
        (
            "zip64 size",
            one(&|l| l.raw = Some(u32::MAX)),
            "bad",
            "ZIP64",
        ),
        (
            "zip64 place",
            one(&|l| l.at = Some(u32::MAX)),
            "bad",
            "ZIP64",
        ),
        (
            "stored, other sizes",
            one(&|l| l.raw = Some(11)),
            "bad",
            "can't be true",
        ),
        (
            "grows beyond deflate",
            one(&|l| {
                l.method = 8;
                l.raw = Some(20_000)
            }),
            "bad",
            "can't be true",
        ),
        (
            "declared bomb",
            one(&|l| {
                l.method = 8;
                l.raw = Some(65 << 20);
            }),
            "bad",
            "64 MiB",
        ),
        (
            "beyond the end",
            one(&|l| {
                l.packed = Some(9999);
                l.raw = Some(9999);
            }),
            "bad",
            "longer than the backup",
        ),
        (
            "begins beyond the end",
            one(&|l| l.at = Some(9999)),
            "bad",
            "longer than the backup",
        ),
        (
            "same name",
            vec![Lie::new("good", b"not"), Lie::new("good2", b"x")],
            "good",
            "another file of this name",
        ),
        (
            "other name in front",
            one(&|l| l.local_name = Some(b"bax".to_vec())),
            "bad",
            "not what the list",
        ),
        (
            "longer name in front",
            one(&|l| l.local_name = Some(b"badd".to_vec())),
            "bad",
            "not what the list",
        ),
        (
            "other size in front",
            one(&|l| l.local_raw = Some(9)),
            "bad",
            "not what the list",
        ),
        (
            "other method in front",
            one(&|l| l.local_method = Some(8)),
            "bad",
            "not what the list",
        ),
        (
            "data that reaches into the next file",
            one(&|l| l.local_extra = 5),
            "bad",
            "not what the list",
        ),
        (
            "encrypted in front",
            one(&|l| l.local_flags = Some(1)),
            "bad",
            "not what the list",
        ),
        ("wrong sum", one(&|l| l.crc = Some(5)), "bad", "sum"),
        (
            "undeclared bomb",
            vec![
                Lie {
                    raw: Some(1000),
                    ..Lie::new("bad", &zeros)
                }
                .deflated(),
            ],
            "bad",
            "another size",
        ),
        (
            "shorter than said",
            vec![
                Lie {
                    raw: Some(1 << 20 | 1),
                    ..Lie::new("bad", &zeros)
                }
                .deflated(),
            ],
            "bad",
            "another size",
        ),
        (
            "no deflate",
            one(&|l| {
                l.method = 8;
                l.data = vec![0xFF; 10];
            }),
            "bad",
            "",
        ),
        (
            "place of another",
            one(&|l| {
                l.at = Some(0);
                l.without = true;
                l.packed = Some(0);
                l.raw = Some(0);
            }),
            "bad",
            "shares",
        ),
    ]
}

#[test]
fn files_made_to_do_harm_are_listed_and_the_others_read() {
    for (what, mut lie, path, why) in hostile() {
        lie.insert(0, Lie::new("good", b"first"));
        // Whoever shares the bytes of a file spoils both.
        lie.insert(0, Lie::new("before", b"before"));
        let bytes = lies(&lie);
        let listing = listing(&bytes).unwrap_or_else(|e| panic!("{what}: {e}"));
        let mut refused = listing.refused.clone();
        let mut read = Vec::new();
        for entry in listing.entries {
            let path = entry.path.clone();
            let is = notebook::backup::names::Is::Unknown;
            match unpack(&bytes, &notebook::backup::open::File { entry, is }) {
                Ok(raw) => read.push((path, raw)),
                Err(why) => refused.add(&path, &why),
            }
        }
        assert!(
            refused
                .list
                .iter()
                .any(|r| r.path.contains(path) && r.why.contains(why)),
            "{what}: {refused:?}"
        );
        assert!(
            read.contains(&("good".to_owned(), b"first".to_vec())),
            "{what}"
        );
        assert!(
            !read.iter().any(|(p, _)| p == path && p != "good"),
            "{what}"
        );
    }
}

/// After the construction of D. Fifield, "A better zip bomb" (2019): many
/// directory entries share one body.
#[test]
fn a_bomb_of_shared_bytes_is_refused() {
    let kernel = Lie::new("kernel", &vec![0; 1 << 20]).deflated();
    let mut all = vec![kernel.clone()];
    for n in 0..100 {
        let mut copy = kernel.clone();
        copy.name = format!("copy{n:02}").into_bytes();
        copy.at = Some(0);
        copy.without = true;
        all.push(copy);
    }
    let listing = listing(&lies(&all)).unwrap();
    assert_eq!(listing.entries, []);
    assert_eq!(listing.refused.count(), 101);
}

#[test]
fn a_backup_that_would_unpack_to_too_much_is_refused_from_there_on() {
    // 60 MiB of zeros deflate to 60 KB; six of them are 360 MiB.
    let zeros = Lie::new("", &vec![0; 60 << 20]).deflated();
    let all: Vec<Lie> = (0..6)
        .map(|n| Lie {
            name: format!("f{n}").into_bytes(),
            ..zeros.clone()
        })
        .collect();
    let listing = listing(&lies(&all)).unwrap();
    let total: u64 = listing.entries.iter().map(|e| e.raw).sum();
    assert_eq!(listing.entries.len(), 4);
    assert!(total < 300 << 20);
    assert!(
        listing
            .refused
            .list
            .iter()
            .all(|r| r.why.contains("too much"))
    );
}

#[test]
fn ends_that_can_be_read_in_two_ways_or_do_not_fit_are_refused() {
    let good = lies(&[Lie::new("a", b"a")]);
    let end = good.len() - 22;
    let with = |at: usize, bytes: &[u8]| {
        let mut b = good.clone();
        b[end + at..end + at + bytes.len()].copy_from_slice(bytes);
        b
    };
    // A comment that holds another end, of an archive without files.
    let mut two = with(20, &[22, 0]);
    two.extend(b"PK\x05\x06");
    two.extend([0; 18]);
    let mut junk = good.clone();
    junk.push(0);
    let mut before = vec![1, 2, 3];
    before.extend(&good);
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("two ends", two, "two ways"),
        ("junk behind", junk, "missing"),
        ("junk before", before, "not where"),
        ("empty", Vec::new(), "missing"),
        ("short", b"PK\x05\x06".to_vec(), "missing"),
        ("multi-disk", with(4, &[1]), "one part of several"),
        ("counts differ", with(8, &[2]), "one part of several"),
        ("zip64", with(10, &[0xFF, 0xFF]), "ZIP64"),
        ("zip64 place", with(16, &[0xFF; 4]), "ZIP64"),
        ("comment cut", with(20, &[1]), "missing"),
        ("one more", with(8, &[2, 0, 2, 0]), "damaged"),
        ("one less", with(8, &[0, 0, 0, 0]), "damaged"),
        ("directory longer", with(12, &[0xF0]), "not where"),
    ];
    for (what, bytes, why) in cases {
        let found = listing(&bytes).expect_err(what);
        assert!(found.contains(why), "{what}: {found}");
    }
}

#[test]
fn a_comment_behind_the_end_is_passed_over() {
    let mut bytes = lies(&[Lie::new("a", b"a")]);
    let at = bytes.len() - 2;
    bytes[at..].copy_from_slice(&[0xFF, 0xFF]);
    bytes.extend(vec![b'P'; 0xFFFF]);
    assert_eq!(listing(&bytes).unwrap().entries.len(), 1);
}

fn salvaged(bytes: &[u8]) -> own::Listing {
    let mut search = own::Salvage::new(bytes.len() as u64);
    while let Some(want) = search.want() {
        search.take(slice(bytes, want));
    }
    search.finish()
}

#[test]
fn files_of_a_cut_archive_are_found_one_by_one() {
    // More than one stretch of reading, so that headers fall on its edges.
    let noise: Vec<u8> = (0..200_000u32)
        .map(|n| (n.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    let all: Vec<Lie> = (0..40)
        .map(|n| Lie::new(&format!("f{n}"), &noise[..5000 * (n % 40)]))
        .collect();
    let bytes = lies(&all);
    assert_eq!(salvaged(&bytes).entries.len(), 40);
    assert_eq!(salvaged(&bytes).entries, listing_without_end(&bytes));

    let cut = &bytes[..bytes.len() / 2];
    let found = salvaged(cut);
    assert!(found.entries.len() > 20, "{}", found.entries.len());
    let refused: Vec<&str> = found.refused.list.iter().map(|r| r.why.as_str()).collect();
    assert_eq!(refused, ["The file is cut off."]);

    // A hole over one header: the next is searched for.
    let mut hole = bytes.clone();
    let at = 30 + 2 + 30 + 2 + 5000;
    hole[at..at + 4].fill(0);
    let found = salvaged(&hole);
    assert_eq!(found.entries.len(), 39);
    assert!(!found.entries.iter().any(|e| e.path == "f2"));
}

/// The walk reads 64 KiB at a time.
#[test]
fn a_header_on_the_edge_of_what_is_read_at_a_time_is_found() {
    let long = "d/".repeat(119) + "x";
    let noise = vec![b'P'; 70_000];
    for before in 0..300 {
        let first = &noise[..65_536 - 31 - before];
        let all = [
            Lie::new("a", first),
            Lie::new(&long, b"bb"),
            Lie::new("c", &noise),
        ];
        let bytes = lies(&all);
        let found = salvaged(&bytes[..bytes.len() - 1]);
        assert_eq!(found.entries.len(), 3, "{before} bytes before the edge");
    }
}

/// The entries by the directory, without the ends that only it can tell.
fn listing_without_end(bytes: &[u8]) -> Vec<own::Entry> {
    let mut entries = listing(bytes).unwrap().entries;
    let found = salvaged(bytes).entries;
    // The last one may reach to the end of the file.
    if let (Some(a), Some(b)) = (entries.last_mut(), found.last()) {
        *a = b.clone();
    }
    entries
}

#[test]
fn a_wrong_length_does_not_hide_the_files_behind_it() {
    let mut lie = Lie::new("a", b"aaaa");
    (lie.packed, lie.raw) = (Some(1 << 30), Some(1 << 30));
    let bytes = lies(&[lie, Lie::new("b", b"bbbb")]);
    let found = salvaged(&bytes[..bytes.len() - 1]);
    let paths: Vec<&str> = found.entries.iter().map(|e| e.path.as_str()).collect();
    assert_eq!(paths, ["b"]);
    assert_eq!(found.refused.list.len(), 1);
}

#[test]
fn a_file_full_of_false_headers_is_read_about_once() {
    let bytes = b"PK\x03\x04".repeat(100_000);
    // `open` counts what is read.
    assert!(open(&bytes).is_err() || salvaged(&bytes).entries.is_empty());
}
