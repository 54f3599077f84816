//! Helpers for looking at the tree: its files, its crates, its documents.

use std::path::{Path, PathBuf};

/// The workspace folder.
#[must_use]
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// All files below a folder of the workspace, without build output.
#[must_use]
pub fn files(folder: &str) -> Vec<PathBuf> {
    let mut out = Vec::new();
    let mut todo = vec![root().join(folder)];
    while let Some(dir) = todo.pop() {
        for entry in std::fs::read_dir(&dir).into_iter().flatten().flatten() {
            let path = entry.path();
            let name = entry.file_name().to_string_lossy().into_owned();
            if path.is_dir() && !matches!(name.as_str(), "target" | ".git" | "node_modules") {
                todo.push(path);
            } else if path.is_file() {
                out.push(path);
            }
        }
    }
    out.sort();
    out
}

/// A file as text; empty when it is none.
#[must_use]
pub fn text(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap_or_default()
}

/// A path as the documents write it.
#[must_use]
pub fn shown(path: &Path) -> String {
    path.strip_prefix(root())
        .unwrap_or(path)
        .to_string_lossy()
        .into_owned()
}

/// The workspace's crates, as folders.
#[must_use]
pub fn crates() -> Vec<String> {
    let manifest = text(&root().join("Cargo.toml"));
    let members = manifest
        .split("members = [")
        .nth(1)
        .unwrap_or("")
        .split(']')
        .next()
        .unwrap_or("");
    members
        .split(',')
        .map(|m| m.trim().trim_matches('"').to_owned())
        .filter(|m| !m.is_empty())
        .collect()
}

/// The modules of a crate, as the first level below `src`: `name` for a file or
/// a folder, without `lib`, `main` and test files.
#[must_use]
pub fn modules(krate: &str) -> Vec<String> {
    let mut out: Vec<String> = std::fs::read_dir(root().join(krate).join("src"))
        .into_iter()
        .flatten()
        .flatten()
        .filter_map(|e| {
            let name = e.file_name().to_string_lossy().into_owned();
            let rust = name.strip_suffix(".rs");
            if e.path().is_dir() {
                Some(name)
            } else {
                rust.map(str::to_owned)
            }
        })
        .filter(|n| !matches!(n.as_str(), "lib" | "main") && !n.ends_with("_tests"))
        .collect();
    out.sort();
    out.dedup();
    out
}
