//! How fast pastes are read, beside a plain regex pass that only finds clean
//! lines, and how reading grows with the number of lines.
//!
//! `cargo bench -p reading --bench reading --profile release-native`
//!
//! The texts are made here: mixed logs of the three demo families inside a
//! forum post's noise. "clean" needs no guess; "slips" has a slip in every
//! third record. `-- growth` leaves the timed part out. After the timed part a table shows ns per byte for 1,000 to
//! 100,000 lines, and two pastes that are too long to be read whole.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a benchmark may panic"
)]

use std::hint::black_box;
use std::path::Path;
use std::rc::Rc;
use std::time::{Duration, Instant};

use codebook::Book;
use criterion::{BenchmarkId, Criterion, Throughput};
use reading::Reader;
use regex::bytes::Regex;

fn book(name: &str) -> Rc<Book> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../public/books")
        .join(format!("{name}.json"));
    let bytes = std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    Rc::new(Book::load(&bytes).unwrap_or_else(|p| panic!("{name}: {p:#?}")))
}

/// Numbers that look drawn and are the same each time.
struct Mix(u64);

impl Mix {
    fn next(&mut self, below: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % below
    }
}

fn crc8(bytes: &[u8]) -> u8 {
    !bytes.iter().fold(0xFF_u8, |crc, b| {
        (0..8).fold(
            crc ^ b,
            |c, _| if c & 0x80 == 0 { c << 1 } else { c << 1 ^ 0x2F },
        )
    })
}

fn letters(text: &str) -> String {
    let values = text
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .filter_map(|c| c.to_digit(36));
    let sum = (1..)
        .zip(values)
        .fold(7, |sum, (weight, v)| (sum + weight * v) % 484) as usize;
    let alphabet = b"ACDEFGHJKLMNPQRTUVWXYZ";
    [sum / 22, sum % 22]
        .map(|d| alphabet[d] as char)
        .iter()
        .collect()
}

fn record(n: usize, mix: &mut Mix) -> String {
    match n / 24 % 3 {
        0 => {
            let (step, code, time) = (mix.next(32), mix.next(65536), 0x1800_0000 + n as u64 * 977);
            format!(
                "slot {:02}  step {step:02X}  code {code:04X}  clock {time:08X}  seen {:02X}",
                n % 24,
                mix.next(9) + 1
            )
        }
        1 => {
            let mut b = vec![
                n as u8,
                (n >> 8) as u8,
                mix.next(32) as u8,
                mix.next(256) as u8,
                mix.next(256) as u8,
            ];
            b.extend((0x1800_0000 + n as u32 * 977).to_le_bytes());
            b.extend([mix.next(120) as u8, 3]);
            b.push(crc8(&b));
            b.iter()
                .map(|x| format!("{x:02X}"))
                .collect::<Vec<_>>()
                .join(" ")
        }
        _ => {
            let group = ["amber", "birch", "cedar", "dune", "ember", "fern"][mix.next(6) as usize];
            let (seq, number) = (9999 - n % 10_000, mix.next(90) + 10);
            let date = format!(
                "{:02}.{:02}.2007 at {:02}:40:15",
                mix.next(28) + 1,
                mix.next(12) + 1,
                mix.next(24)
            );
            let check = letters(&format!("{seq:04}{group}{number}{date}"));
            format!("entry {seq:04}: group {group} number {number}, on {date}, check {check}")
        }
    }
}

/// A text of so many lines; with `slips` every third record has a letter for a
/// digit.
fn post(lines: usize, slips: bool) -> String {
    let mut mix = Mix(7);
    let mut out = String::new();
    let mut n = 0;
    for line in 0..lines {
        let noise = match line % 24 {
            0 => "Does anyone know what this means? It stopped again after I cleaned the fan.",
            1 => "[quote=bob][code]",
            23 => "[/code][/quote]",
            12 => "",
            _ => {
                let mut text = record(n, &mut mix);
                if slips
                    && n % 3 == 0
                    && let Some(at) = text.rfind('0')
                {
                    text.replace_range(at..=at, "O");
                }
                n += 1;
                match line / 24 % 4 {
                    1 => out.push_str("> "),
                    2 => out.push_str("[10:02:08.148] "),
                    3 => text = text.replace(' ', "\u{A0}"),
                    _ => {}
                }
                out.push_str(&text);
                out.push('\n');
                continue;
            }
        };
        out.push_str(noise);
        out.push('\n');
    }
    out
}

/// The clean forms of the three kinds of line, and nothing else.
fn plain() -> Regex {
    Regex::new(concat!(
        r"(?m-u)^slot \d\d  step [0-9A-F]{2}  code [0-9A-F]{4}  clock [0-9A-F]{8}  seen [0-9A-F]{2}$",
        r"|^(?:[0-9A-F]{2} ){11}[0-9A-F]{2}$",
        r"|^entry \d{4}: group [a-z]+ number \d\d, on \d\d\.\d\d\.\d{4} at \d\d:\d\d:\d\d, check [A-Z]{2}$",
    ))
    .unwrap_or_else(|e| panic!("{e}"))
}

fn timed(c: &mut Criterion, reader: &Reader) {
    let plain = plain();
    for lines in [60, 2_000, 100_000] {
        let mut group = c.benchmark_group(format!("{lines} lines"));
        if lines > 10_000 {
            group.sample_size(10);
        }
        for (name, slips) in [("clean", false), ("slips", true)] {
            let text = post(lines, slips);
            group.throughput(Throughput::Bytes(text.len() as u64));
            group.bench_with_input(BenchmarkId::new("read", name), &text, |b, t| {
                b.iter(|| black_box(reader.read(black_box(t.as_bytes()))));
            });
            group.bench_with_input(BenchmarkId::new("plain regex", name), &text, |b, t| {
                b.iter(|| plain.find_iter(black_box(t.as_bytes())).count());
            });
        }
        group.finish();
    }
}

fn once(reader: &Reader, what: &str, paste: &[u8]) {
    let start = Instant::now();
    let reading = reader.read(paste);
    let took = start.elapsed();
    let per = took.as_nanos() as f64 / paste.len() as f64;
    println!(
        "{what:<34} {:>11} bytes {:>9.1} ms {per:>8.1} ns/byte {:>7} entries {:>6} guessed {:>6} unreadable  {}",
        paste.len(),
        took.as_secs_f64() * 1e3,
        reading.entries.len(),
        reading.entries.iter().filter(|e| e.guess).count(),
        reading.unreadable.len(),
        peak().map_or_else(String::new, |kb| format!("peak {} MB", kb / 1024)),
    );
}

/// Most memory that this process has used so far, where the system tells.
fn peak() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status
        .lines()
        .find(|l| l.starts_with("VmHWM:"))?
        .split_whitespace()
        .nth(1)?
        .parse()
        .ok()
}

fn growth(reader: &Reader) {
    println!("\ngrowth (one run each)");
    for (name, slips) in [("clean", false), ("slips", true)] {
        for lines in [1_000, 10_000, 100_000] {
            once(
                reader,
                &format!("{lines} lines, {name}"),
                post(lines, slips).as_bytes(),
            );
        }
    }
    println!("\npastes beyond the usual (one run each; the reader's limits hold)");
    let row = "2C 01 0B 3A 12 F2 51 3C 0D 52 02 7D ";
    once(
        reader,
        "one line of hex, 1 MB",
        row.repeat(28_000).as_bytes(),
    );
    once(
        reader,
        "one line of hex, 50 MB",
        row.repeat(1_450_000).as_bytes(),
    );
    once(
        reader,
        "one line without a space, 50 MB",
        "2C010B3A12F2513C0D52027D".repeat(2_100_000).as_bytes(),
    );
    once(
        reader,
        "one line of entries, 50 MB",
        "slot 07  step 0A  code 44D0  clock 2C8F10B0  seen 01 "
            .repeat(950_000)
            .as_bytes(),
    );
    once(
        reader,
        "one line of prose, 50 MB",
        "it stopped with code 44D0 and entry 12 of slot 7, "
            .repeat(1_000_000)
            .as_bytes(),
    );
    once(
        reader,
        "one line of <, 50 MB",
        "<".repeat(50_000_000).as_bytes(),
    );
    once(
        reader,
        "300,000 lines, slips",
        post(300_000, true).as_bytes(),
    );
    once(
        reader,
        "1,000,000 empty lines",
        "\n".repeat(1_000_000).as_bytes(),
    );
    once(
        reader,
        "100,000 lines of the same record",
        format!("{row}\n").repeat(100_000).as_bytes(),
    );
    once(
        reader,
        "100,000 lines cut off",
        "slot 07  step 0A  code\n".repeat(100_000).as_bytes(),
    );
    once(
        reader,
        "100,000 lines of half rows",
        "2C 01 0B 3A 12 F2 51 3C\n".repeat(100_000).as_bytes(),
    );
}

fn main() {
    let reader = Reader::new(["orrery", "halyard", "tamsin"].map(book).to_vec());
    let mut c = Criterion::default()
        .warm_up_time(Duration::from_secs(1))
        .measurement_time(Duration::from_secs(4))
        .configure_from_args();
    timed(&mut c, &reader);
    c.final_summary();
    // `cargo test` and `cargo bench -- a name` want no table; the name `growth`
    // is the table alone.
    let args: Vec<String> = std::env::args().skip(1).collect();
    if args.iter().any(|a| a == "--bench") && args.iter().all(|a| a == "--bench" || a == "growth") {
        growth(&reader);
    }
}
