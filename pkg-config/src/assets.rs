//! The files of the site, and names that change with the contents.
//!
//! A file whose name holds a hash of its bytes can be kept by a browser for
//! ever: a changed file has another name. Data that the app asks for by a
//! fixed name keeps that name and is kept fresh by the service worker, whose
//! version is the hash of everything.

use anyhow::Context;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::Path;

/// Where files with hashed names are.
pub const HASHED_FOLDER: &str = "/assets/";

/// One file of the site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asset {
    /// The name in the sources, as an address on the site.
    pub source: String,
    /// The address it is served under.
    pub address: String,
    /// The contents.
    pub bytes: Vec<u8>,
    /// Whether the service worker fetches it at install.
    pub precached: bool,
}

impl Asset {
    /// A file that keeps its name.
    pub fn plain(address: &str, bytes: Vec<u8>) -> Self {
        Self {
            source: address.to_owned(),
            address: address.to_owned(),
            bytes,
            precached: true,
        }
    }

    /// A file named after its contents.
    pub fn hashed(source: &str, bytes: Vec<u8>) -> Self {
        let address = hashed_name(source, &bytes);
        Self {
            source: source.to_owned(),
            address,
            bytes,
            precached: true,
        }
    }

    /// The same file, but not fetched by the service worker.
    pub fn left_out(mut self) -> Self {
        self.precached = false;
        self
    }

    /// All files of a folder and the folders in it, with plain names, in the
    /// order of their names. Hidden files are left out.
    ///
    /// # Errors
    /// When something can't be read.
    pub fn folder(folder: &Path, address: &str) -> anyhow::Result<Vec<Self>> {
        let read = std::fs::read_dir(folder)
            .with_context(|| format!("can't read {}", folder.display()))?;
        let mut entries = read.collect::<Result<Vec<_>, _>>()?;
        entries.sort_by_key(std::fs::DirEntry::file_name);
        let mut found = Vec::new();
        for entry in entries {
            let name = entry.file_name().to_string_lossy().into_owned();
            let path = entry.path();
            if name.starts_with('.') {
                continue;
            }
            if path.is_dir() {
                found.extend(Self::folder(&path, &format!("{address}/{name}"))?);
            } else {
                let bytes = std::fs::read(&path)
                    .with_context(|| format!("can't read {}", path.display()))?;
                found.push(Self::plain(&format!("{address}/{name}"), bytes));
            }
        }
        Ok(found)
    }
}

/// `/icons/leaf.png` becomes `/assets/leaf.1f2e3d4c5b.png`.
fn hashed_name(source: &str, bytes: &[u8]) -> String {
    let file = source.rsplit('/').next().unwrap_or(source);
    let (stem, ending) = file.rsplit_once('.').unwrap_or((file, "bin"));
    let hash = hash(&[bytes]);
    let short = hash.get(..10).unwrap_or(&hash);
    format!("{HASHED_FOLDER}{stem}.{short}.{ending}")
}

/// The hash of several pieces. Lengths go in too, so that moving a byte from
/// one piece to the next gives another hash.
pub fn hash(pieces: &[&[u8]]) -> String {
    let mut sum = Sha256::new();
    for piece in pieces {
        sum.update((piece.len() as u64).to_le_bytes());
        sum.update(piece);
    }
    sum.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The short id of a build: it changes when any file does.
pub fn build_id(assets: &[Asset], templates: &[&[u8]]) -> String {
    let mut pieces: Vec<&[u8]> = templates.to_vec();
    for asset in assets {
        pieces.push(asset.address.as_bytes());
        pieces.push(&asset.bytes);
    }
    let full = hash(&pieces);
    full.get(..12).unwrap_or(&full).to_owned()
}

/// From the names in the sources to the addresses on the site.
pub fn renames(assets: &[Asset]) -> BTreeMap<String, String> {
    assets
        .iter()
        .map(|a| (a.source.clone(), a.address.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_follow_contents() {
        let one = Asset::hashed("/icons/leaf.svg", b"a".to_vec());
        let same = Asset::hashed("/icons/leaf.svg", b"a".to_vec());
        let other = Asset::hashed("/icons/leaf.svg", b"b".to_vec());
        assert_eq!(one.address, same.address);
        assert_ne!(one.address, other.address);
        assert!(
            one.address.starts_with("/assets/leaf.") && one.address.ends_with(".svg"),
            "{}",
            one.address
        );
    }

    #[test]
    fn the_build_id_notices_every_change() {
        let a = vec![
            Asset::plain("/a", b"1".to_vec()),
            Asset::plain("/b", b"2".to_vec()),
        ];
        let mut renamed = a.clone();
        renamed[0].address = "/c".to_owned();
        let mut changed = a.clone();
        changed[1].bytes = b"3".to_vec();
        let ids: std::collections::BTreeSet<String> = [
            build_id(&a, &[]),
            build_id(&renamed, &[]),
            build_id(&changed, &[]),
            build_id(&a, &[b"t"]),
        ]
        .into();
        assert_eq!(ids.len(), 4);
    }

    #[test]
    fn pieces_do_not_run_together() {
        assert_ne!(hash(&[b"ab", b"c"]), hash(&[b"a", b"bc"]));
    }

    #[test]
    fn folders_are_read_in_order_without_hidden_files() {
        let dir = tempfile::tempdir().unwrap();
        std::fs::create_dir(dir.path().join("b")).unwrap();
        for name in ["z.txt", "b/x.txt", ".hidden"] {
            std::fs::write(dir.path().join(name), name).unwrap();
        }
        let found = Asset::folder(dir.path(), "/demo").unwrap();
        let names: Vec<&str> = found.iter().map(|a| a.address.as_str()).collect();
        assert_eq!(names, ["/demo/b/x.txt", "/demo/z.txt"]);
    }
}
