//! The page that runs the notebook's store in a browser, for the browser tests.
//!
//! It is built like the app and by the same compiler, but it is no part of the
//! site: the app's own page offers no hand on its database.

use crate::places::Places;
use crate::step::{say, step};
use crate::wasm;
use anyhow::Context;
use std::path::{Path, PathBuf};

/// The package with the page's program, and the folder with its files.
const PACKAGE: &str = "browser-suite";
const PAGE: &str = "tests/browser/suite/page";

/// Builds the page and gives its folder.
///
/// # Errors
/// When a step fails.
pub fn build(places: &Places) -> anyhow::Result<PathBuf> {
    let program = wasm::program(places, PACKAGE, "suite")?;
    step(
        "Write the page of the store's tests",
        "the notebook's store needs a real browser",
        || {
            let folder = places.suite();
            gather(&[&places.root.join(PAGE), &program], &folder)?;
            say(&format!("    {}", folder.display()));
            Ok(folder)
        },
    )
}

/// Copies the files of some folders into a new one.
fn gather(from: &[&Path], to: &Path) -> anyhow::Result<()> {
    if to.exists() {
        std::fs::remove_dir_all(to)?;
    }
    std::fs::create_dir_all(to)?;
    for folder in from {
        let read = std::fs::read_dir(folder)
            .with_context(|| format!("can't read {}", folder.display()))?;
        for entry in read {
            let entry = entry?;
            if entry.path().is_file() {
                std::fs::copy(entry.path(), to.join(entry.file_name()))?;
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_page_takes_the_place_of_the_old_one() {
        let dir = tempfile::tempdir().unwrap();
        let (one, two, to) = (
            dir.path().join("one"),
            dir.path().join("two"),
            dir.path().join("to"),
        );
        for (folder, file) in [(&one, "index.html"), (&two, "suite.js"), (&to, "old.js")] {
            std::fs::create_dir(folder).unwrap();
            std::fs::write(folder.join(file), file).unwrap();
        }
        gather(&[&one, &two], &to).unwrap();
        assert!(to.join("index.html").is_file() && to.join("suite.js").is_file());
        assert!(!to.join("old.js").exists());
        assert!(gather(&[&dir.path().join("none")], &to).is_err());
    }
}
