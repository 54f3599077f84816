//! The demo logs the app offers to try: a chosen few of `demo-logs/`, named
//! in `examples.json` there, served under `/demo/` with the list beside them.

use crate::assets::Asset;
use crate::places::Places;
use crate::step::problem;
use serde_json::Value;
use std::path::Path;

/// The list and the logs; nothing when there is no list.
///
/// # Errors
/// When the list can't be understood or a log in it is missing.
pub fn gather(places: &Places) -> anyhow::Result<Vec<Asset>> {
    from(&places.root.join("demo-logs"))
}

fn from(folder: &Path) -> anyhow::Result<Vec<Asset>> {
    let list = folder.join("examples.json");
    if !list.exists() {
        return Ok(Vec::new());
    }
    let wrong = |what: String| problem(what, "correct demo-logs/examples.json.");
    let bytes = std::fs::read(&list)?;
    let rows: Vec<Value> = serde_json::from_slice(&bytes)
        .map_err(|e| wrong(format!("demo-logs/examples.json: {e}")))?;
    let mut found = vec![Asset::plain("/demo/index.json", serde_json::to_vec(&rows)?)];
    for row in &rows {
        let name = row["file"]
            .as_str()
            .ok_or_else(|| wrong(format!("an example without a file: {row}")))?;
        if name.split('/').any(|part| part == ".." || part.is_empty()) {
            return Err(wrong(format!("an example outside of demo-logs: {name}")));
        }
        let bytes = std::fs::read(folder.join(name))
            .map_err(|e| wrong(format!("the example {name}: {e}")))?;
        found.push(Asset::plain(&format!("/demo/{name}"), bytes));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn listed_logs_are_found_byte_for_byte() {
        let dir = tempfile::tempdir().unwrap();
        assert!(from(dir.path()).unwrap().is_empty());
        std::fs::write(dir.path().join("a.txt"), b"\xff\r\n").unwrap();
        std::fs::write(
            dir.path().join("examples.json"),
            r#"[{"file":"a.txt","title":"A"}]"#,
        )
        .unwrap();
        let found = from(dir.path()).unwrap();
        assert_eq!(found[0].address, "/demo/index.json");
        assert_eq!(
            (found[1].address.as_str(), found[1].bytes.as_slice()),
            ("/demo/a.txt", &b"\xff\r\n"[..])
        );
    }

    #[test]
    fn missing_or_outside_logs_are_refused() {
        let dir = tempfile::tempdir().unwrap();
        for list in [
            r#"[{"file":"gone.txt"}]"#,
            r#"[{"file":"../x.txt"}]"#,
            r#"[{"title":"A"}]"#,
            "{}",
        ] {
            std::fs::write(dir.path().join("examples.json"), list).unwrap();
            assert!(from(dir.path()).is_err(), "{list}");
        }
    }
}
