//! The invariants of DEVELOPERS.md that only a look at the tree can hold.

use std::collections::BTreeSet;
use std::process::Command;

use tidy::{crates, files, modules, root, shown, text};

const DOMAIN: [&str; 7] = [
    "app/care",
    "app/codebook",
    "app/diagnosis",
    "app/notebook",
    "app/reading",
    "app/tables",
    "app/teaching",
];

/// Invariant 9: the code map names exactly the crates and modules that exist.
#[test]
fn the_code_map_is_true() {
    let doc = text(&root().join("DEVELOPERS.md"));
    let map = doc
        .split("## Code map")
        .nth(1)
        .and_then(|t| t.split("\n## ").next())
        .unwrap_or("");
    assert!(!map.is_empty(), "DEVELOPERS.md has no section \"Code map\"");
    let mut listed: BTreeSet<String> = BTreeSet::new();
    let mut krate = String::new();
    for line in map.lines() {
        let code = |l: &str| l.split('`').nth(1).unwrap_or("").to_owned();
        if line.starts_with("### ") {
            krate = code(line);
            listed.insert(krate.clone());
        } else if line.starts_with("- `") {
            listed.insert(format!("{krate}: {}", code(line)));
        }
    }
    let mut real: BTreeSet<String> = BTreeSet::new();
    for c in crates() {
        real.extend(modules(&c).into_iter().map(|m| format!("{c}: {m}")));
        real.insert(c);
    }
    let missing: Vec<_> = real.difference(&listed).collect();
    let gone: Vec<_> = listed.difference(&real).collect();
    assert!(
        missing.is_empty() && gone.is_empty(),
        "not in the map: {missing:?}; no longer there: {gone:?}"
    );
}

/// Invariant 1: domain crates know no browser, no clock and no chance.
#[test]
fn domain_crates_are_pure() {
    for c in DOMAIN {
        let name = c.rsplit('/').next().unwrap_or(c);
        let out = Command::new(env!("CARGO"))
            .args([
                "tree",
                "--offline",
                "--edges",
                "normal",
                "--prefix",
                "none",
                "-p",
                name,
            ])
            .current_dir(root())
            .output()
            .expect("cargo tree runs");
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        let tree = String::from_utf8_lossy(&out.stdout).into_owned();
        assert!(tree.contains("serde"), "cargo tree said nothing");
        for banned in [
            "leptos",
            "web-sys",
            "js-sys",
            "wasm-bindgen",
            "gloo",
            "rexie",
            "regex ",
            "rand ",
            "getrandom",
        ] {
            assert!(
                !tree.lines().any(|l| l.starts_with(banned)),
                "{c} depends on {banned}"
            );
        }
        for file in files(&format!("{c}/src")) {
            // What tests do is their own business.
            let code = text(&file);
            let code = code.split("#[cfg(test)]").next().unwrap_or("");
            for banned in [
                "SystemTime::now",
                "Instant::now",
                "Timestamp::now",
                "Zoned::now",
                "std::fs",
                "std::net",
                "std::env",
            ] {
                assert!(!code.contains(banned), "{} uses {banned}", shown(&file));
            }
        }
    }
}

/// Only the platform modules of the shell touch the browser's own interfaces.
#[test]
fn the_browser_is_behind_the_platform_modules() {
    for file in files("app/shell/src") {
        let path = shown(&file);
        if path.contains("/platform/") {
            continue;
        }
        for banned in [
            "gloo_storage",
            "indexed_db",
            "js_sys::Reflect",
            ".set_inner_html(",
            "inner_html=",
        ] {
            assert!(
                !text(&file).contains(banned),
                "{path} uses {banned}; only app/shell/src/platform may"
            );
        }
    }
}

/// Invariant 6, the part that can be read: nothing we ship names another origin.
#[test]
fn nothing_we_ship_names_another_origin() {
    for folder in ["public", "pkg-config/template"] {
        for file in files(folder) {
            let path = shown(&file);
            if !["html", "css", "js", "svg", "json"]
                .iter()
                .any(|e| path.ends_with(e))
            {
                continue;
            }
            for (n, line) in text(&file).lines().enumerate() {
                let bare = line.replace("http://www.w3.org/", "");
                assert!(
                    !bare.contains("http://") && !bare.contains("https://"),
                    "{path}:{} names another origin",
                    n + 1
                );
            }
        }
    }
}

/// No inline script or style: the content security policy forbids both.
#[test]
fn the_page_has_no_inline_script_or_style() {
    let page = text(&root().join("public/index.html"));
    assert!(
        page.contains("<main"),
        "public/index.html is missing or has no main"
    );
    assert!(!page.contains("style=") && !page.contains("<style") && !page.contains("onclick="));
    for part in page.split("<script").skip(1) {
        let tag = part.split('>').next().unwrap_or("");
        assert!(tag.contains("src="), "an inline script: {tag}");
    }
    for file in files("app/shell/src") {
        assert!(
            !text(&file).contains(" style="),
            "{} sets an inline style",
            shown(&file)
        );
    }
}

/// The top-level names are fixed.
#[test]
fn the_top_level_is_as_agreed() {
    let allowed = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "CHANGELOG.md",
        "app",
        "pkg-config",
        "public",
        "tests",
        "demo-logs",
        "target",
        "rustfmt.toml",
        "clippy.toml",
        "LICENSE-MIT",
        "LICENSE-APACHE",
    ];
    for entry in std::fs::read_dir(root())
        .expect("the root is there")
        .flatten()
    {
        let name = entry.file_name().to_string_lossy().into_owned();
        assert!(
            name.starts_with('.') || allowed.contains(&name.as_str()),
            "{name} has no place at the top level"
        );
    }
}

/// Every module says what it is for, and stays small enough to be read.
#[test]
fn modules_are_documented_and_small() {
    for folder in ["app", "pkg-config/src", "tests"] {
        for file in files(folder) {
            let path = shown(&file);
            if !path.ends_with(".rs") {
                continue;
            }
            let code = text(&file);
            let lines = code.lines().count();
            assert!(
                code.trim_start().starts_with("//!"),
                "{path} does not say what it is for"
            );
            assert!(lines <= 800, "{path} has {lines} lines; cut it");
        }
    }
}

/// Budgets and documents agree.
#[test]
fn the_documents_name_the_budgets() {
    let budgets = text(&root().join("pkg-config/budgets.json"));
    let doc = text(&root().join("DEVELOPERS.md"));
    for kb in ["830", "750"] {
        assert!(
            budgets.contains(kb),
            "pkg-config/budgets.json lost the {kb} KB budget"
        );
        assert!(
            doc.contains(&format!("{kb} KB")),
            "DEVELOPERS.md does not name the {kb} KB budget"
        );
    }
}
