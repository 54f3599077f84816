//! The service worker: the template with the version and the list of files
//! written above it. No person bumps a version: it is the hash of everything.

use crate::assets::Asset;

/// The service worker's script.
///
/// # Errors
/// When an address can't be written as JSON (it always can).
pub fn write(template: &str, version: &str, assets: &[Asset]) -> anyhow::Result<String> {
    let mut list: Vec<&str> = assets
        .iter()
        .filter(|a| a.precached)
        .map(|a| a.address.as_str())
        .collect();
    list.sort_unstable();
    let version = serde_json::to_string(version)?;
    let list = serde_json::to_string_pretty(&list)?;
    Ok(format!(
        "const VERSION = {version};\nconst ASSETS = {list};\n\n{template}"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_sorted_and_complete() {
        let files = [
            Asset::plain("/b.json", Vec::new()),
            Asset::plain("/", Vec::new()),
            Asset::plain("/screenshots/a.png", Vec::new()).left_out(),
        ];
        let script = write("// rest", "abc", &files).unwrap();
        assert!(
            script.starts_with(
                "const VERSION = \"abc\";\nconst ASSETS = [\n  \"/\",\n  \"/b.json\"\n];"
            ),
            "{script}"
        );
        assert!(script.ends_with("// rest"));
    }

    #[test]
    fn another_build_is_another_script() {
        let files = [Asset::plain("/", Vec::new())];
        assert_ne!(
            write("", "a", &files).unwrap(),
            write("", "b", &files).unwrap()
        );
    }
}
