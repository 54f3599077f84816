//! The program and the tool that turns it into a module must come from the
//! same wasm-bindgen version: the data they exchange has no stable format.

use crate::step::problem;

/// Checks the two versions in the lock file against each other.
///
/// # Errors
/// When one is missing or they differ; the message says which lines to change.
pub fn check(lock: &str) -> anyhow::Result<String> {
    let library = version(lock, "wasm-bindgen");
    let tool = version(lock, "wasm-bindgen-cli-support");
    match (library, tool) {
        (Some(library), Some(tool)) if library == tool => Ok(library),
        (library, tool) => {
            let name = |v: Option<String>| v.unwrap_or_else(|| "absent".to_owned());
            Err(problem(
                format!(
                    "Cargo.lock has wasm-bindgen {} but wasm-bindgen-cli-support {}",
                    name(library),
                    name(tool)
                ),
                "write the same `=` version in app/shell/Cargo.toml (wasm-bindgen) and \
                 pkg-config/Cargo.toml (wasm-bindgen-cli-support), then run the command again.",
            ))
        }
    }
}

/// The version of a package in the text of a lock file.
fn version(lock: &str, package: &str) -> Option<String> {
    let mut lines = lock.lines();
    let wanted = format!("name = \"{package}\"");
    lines.find(|line| *line == wanted)?;
    Some(
        lines
            .next()?
            .strip_prefix("version = \"")?
            .strip_suffix('"')?
            .to_owned(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::places::Places;

    const PAIR: &str = "[[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.1\"\n\n\
        [[package]]\nname = \"wasm-bindgen-cli-support\"\nversion = \"0.2.1\"\n";

    #[test]
    fn equal_versions_pass() {
        assert_eq!(check(PAIR).unwrap(), "0.2.1");
    }

    #[test]
    fn a_difference_names_both_files() {
        let error = check(&PAIR.replacen("0.2.1", "0.2.2", 1)).unwrap_err();
        let text = crate::step::failure(&error);
        assert!(
            text.contains("wasm-bindgen 0.2.2 but wasm-bindgen-cli-support 0.2.1"),
            "{text}"
        );
        assert!(
            text.contains("app/shell/Cargo.toml") && text.contains("pkg-config/Cargo.toml"),
            "{text}"
        );
    }

    #[test]
    fn this_repository_is_pinned() {
        let places = Places::here();
        check(&std::fs::read_to_string(places.root.join("Cargo.lock")).unwrap()).unwrap();
        let own = std::fs::read_to_string(places.own("Cargo.toml")).unwrap();
        assert!(
            own.contains("wasm-bindgen-cli-support = \"="),
            "the version must be pinned"
        );
    }
}
