//! A newer version of the built site, for tests of updates.

use std::path::Path;

/// The same site with another build id, as if something had changed.
pub fn another_version(from: &Path, to: &Path) {
    copy(from, to);
    let page = std::fs::read_to_string(to.join("index.html")).unwrap();
    let (_, rest) = page.split_once("name=\"build\" content=\"").unwrap();
    let (id, _) = rest.split_once('"').unwrap();
    for file in ["index.html", "sw.js"] {
        let text = std::fs::read_to_string(to.join(file)).unwrap();
        assert!(text.contains(id), "{file} does not carry the build id");
        std::fs::write(to.join(file), text.replace(id, &format!("{id}-next"))).unwrap();
        for ending in ["br", "gz"] {
            // The packed copies would still be the old version.
            std::fs::remove_file(to.join(format!("{file}.{ending}"))).unwrap();
        }
    }
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), &target).unwrap();
        }
    }
}
