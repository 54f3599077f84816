//! The reader against published formats and tables.
//!
//! Each format is a code book in `standards/` and nothing else: the reader has
//! no line of code for any of them, and a test here looks for such lines. The
//! pastes beside them are made of published records, each named where it is
//! checked, set as a forum post would have them. `(S)` behind a source means
//! that a public source was seen, `(C)` that a general-purpose library computed
//! it, `(M)` that it is from memory.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by a panic"
)]

#[path = "standards/epochs.rs"]
mod epochs;
#[path = "standards/files.rs"]
mod files;
#[path = "standards/firmware.rs"]
mod firmware;
#[path = "standards/look_alikes.rs"]
mod look_alikes;
#[path = "standards/sums.rs"]
mod sums;
#[path = "standards/support.rs"]
mod support;

use std::path::Path;

/// Acceptance: the standards are data only.
#[test]
fn no_code_knows_these_formats() {
    let names = [
        "ipmi",
        "uefi",
        "dtc",
        "intel hex",
        "intelhex",
        "intel-hex",
        "s-record",
        "srecord",
        "smbios",
    ];
    let mut looked = 0;
    let mut found = Vec::new();
    for folder in ["src", "../codebook/src"] {
        let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
        while let Some(path) = open.pop() {
            if path.is_dir() {
                open.extend(std::fs::read_dir(&path).unwrap().map(|e| e.unwrap().path()));
                continue;
            }
            looked += 1;
            for (n, line) in std::fs::read_to_string(&path).unwrap().lines().enumerate() {
                let code = line.split("//").next().unwrap().to_lowercase();
                if names.iter().any(|name| code.contains(name)) {
                    found.push(format!("{}:{}: {line}", path.display(), n + 1));
                }
            }
        }
    }
    assert!(looked > 20, "only {looked} files found");
    assert!(found.is_empty(), "{found:#?}");
}
