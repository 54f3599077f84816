//! The published schema is the one that the types give.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "tests may panic"
)]

/// Run with `UPDATE_SCHEMA=1` after a change of the types.
#[test]
fn published_schema_matches_the_types() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/schema/code-book-1.json");
    let now = codebook::schema::generate();
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(path, &now).unwrap();
    }
    let published = std::fs::read_to_string(path).unwrap();
    assert!(
        published == now,
        "schema/code-book-1.json is out of date: run UPDATE_SCHEMA=1 cargo test -p codebook --test schema"
    );
}
