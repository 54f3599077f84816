//! Changes: whole or not at all, and one after the other.

use super::{Outcome, Place, both, ids, put, row, same, well};
use crate::json::Trouble;
use crate::store::{Change, Fault, Row, Store};

fn texts(list: &[&str]) -> Vec<String> {
    list.iter().map(|t| (*t).to_owned()).collect()
}

/// All 256 bytes, many times over, so that it is longer than any small buffer.
fn bytes() -> Vec<u8> {
    (0..=255).cycle().take(300_001).collect()
}

async fn change<S: Store>(store: &S, change: Change<S::Photo>) -> Outcome {
    well(store.change(&[], &mut |_| Ok(change.clone())).await)
}

pub(crate) async fn photos<S: Store, O, P, B>(store: &S, place: &Place<O, P, B>) -> Outcome
where
    P: Fn(&[u8]) -> S::Photo,
    B: AsyncFn(S::Photo) -> Vec<u8>,
{
    let photos = vec![
        ("c".to_owned(), (place.photo)(&bytes())),
        ("a".to_owned(), (place.photo)(b"")),
        ("b".to_owned(), (place.photo)(b"first")),
    ];
    let first = Change {
        photos,
        ..Change::default()
    };
    change(store, first).await?;
    same(
        "ids",
        well(store.photo_ids().await)?,
        texts(&["a", "b", "c"]),
    )?;
    let second = Change {
        photos: vec![("b".to_owned(), (place.photo)(b"second"))],
        drop_photos: texts(&["a", "never there"]),
        ..Change::default()
    };
    change(store, second).await?;
    same(
        "ids after",
        well(store.photo_ids().await)?,
        texts(&["b", "c"]),
    )?;
    for (id, should) in [
        ("a", None),
        ("b", Some(b"second".to_vec())),
        ("c", Some(bytes())),
    ] {
        let found = match well(store.photo(id).await)? {
            Some(photo) => Some((place.bytes)(photo).await),
            None => None,
        };
        same(id, found, should)?;
    }
    // A photo's file is no record.
    same("count", well(store.count().await)?, 0)
}

pub(crate) async fn refused<S: Store, O, P, B>(store: &S, place: &Place<O, P, B>) -> Outcome
where
    P: Fn(&[u8]) -> S::Photo,
{
    fill(store, place).await?;
    let before = well(store.rows_after("", 100).await)?;
    let damaged = Fault::Damaged(Trouble {
        id: "a".to_owned(),
        why: "for the test".to_owned(),
    });
    for fault in [damaged, Fault::Full, Fault::Other("odd".to_owned())] {
        let mut refuse = |_| Err(fault.clone());
        let done = store.change(&texts(&["a"]), &mut refuse).await;
        same("the fault", done, Err(fault.clone()))?;
    }
    same("rows", well(store.rows_after("", 100).await)?, before)?;
    // The store still works.
    put(store, &[row("z", "note", "c", "")]).await?;
    same("z", well(store.row("z").await)?.is_some(), true)
}

pub(crate) async fn whole<S: Store, O, P, B>(store: &S, place: &Place<O, P, B>) -> Outcome
where
    P: Fn(&[u8]) -> S::Photo,
{
    fill(store, place).await?;
    let next = Change {
        put: (0..300)
            .map(|n| row(&format!("n{n:03}"), "note", "c", "x"))
            .collect(),
        drop: texts(&["a"]),
        photos: vec![("new".to_owned(), (place.photo)(b"new"))],
        drop_photos: texts(&["photo"]),
    };
    change(store, next).await?;
    same("count", well(store.count().await)?, 301)?;
    same("dropped", well(store.row("a").await)?, None)?;
    same("photos", well(store.photo_ids().await)?, texts(&["new"]))?;
    // Nothing at all is a change as well.
    change(store, Change::default()).await?;
    same("count after", well(store.count().await)?, 301)
}

pub(crate) async fn asked<S: Store>(store: &S) -> Outcome {
    let (a, b) = (row("a", "note", "c", "A"), row("b", "note", "c", "B"));
    put(store, &[a.clone(), b.clone()]).await?;
    let mut seen = Vec::new();
    let mut decide = |rows: Vec<Option<Row>>| {
        seen = rows;
        Ok(Change::default())
    };
    let asked = texts(&["b", "missing", "a", "b"]);
    well(store.change(&asked, &mut decide).await)?;
    same("seen", seen, vec![Some(b.clone()), None, Some(a), Some(b)])
}

/// Writes a letter behind the text of row `a`.
async fn append<S: Store>(store: &S, letter: char) -> Outcome {
    let mut decide = |rows: Vec<Option<Row>>| {
        let mut own = rows
            .into_iter()
            .next()
            .flatten()
            .unwrap_or_else(|| row("a", "note", "c", ""));
        own.body.push(letter);
        Ok(Change {
            put: vec![own],
            ..Change::default()
        })
    };
    well(store.change(&texts(&["a"]), &mut decide).await)
}

pub(crate) async fn together<S: Store>(one: &S, two: &S) -> Outcome {
    // Through one handle, then through two, as two tabs do.
    for (left, right) in [(one, one), (one, two), (two, one)] {
        let (a, b) = both(append(left, '1'), append(right, '2')).await;
        a.and(b)?;
    }
    let four = both(
        both(append(one, '3'), append(two, '4')),
        both(append(one, '5'), append(two, '6')),
    );
    let ((a, b), (c, d)) = four.await;
    a.and(b).and(c).and(d)?;
    let body = well(one.row("a").await)?
        .map(|r| r.body)
        .unwrap_or_default();
    let mut letters: Vec<char> = body.chars().collect();
    letters.sort_unstable();
    same("letters", letters.iter().collect(), "1112223456".to_owned())
}

pub(crate) async fn read_during<S: Store>(one: &S, two: &S) -> Outcome {
    let rows: Vec<Row> = (0..50)
        .map(|n| row(&format!("{n:02}"), "note", "c", ""))
        .collect();
    for reader in [one, two] {
        let (done, found) = both(put(one, &rows), reader.of_console("c")).await;
        done?;
        let found = well(found)?.len();
        if found != 0 && found != rows.len() {
            return Err(format!("{found} rows of {}", rows.len()));
        }
        // Once it is said to be done, everybody sees it.
        same(
            "after",
            ids(&well(reader.of_kind("note").await)?),
            ids(&rows),
        )?;
        let drop = Change {
            drop: rows.iter().map(|r| r.id.clone()).collect(),
            ..Change::default()
        };
        change(one, drop).await?;
        same("dropped", well(reader.count().await)?, 0)?;
    }
    Ok(())
}

/// Two rows, a photo and a fact.
pub(crate) async fn fill<S: Store, O, P, B>(store: &S, place: &Place<O, P, B>) -> Outcome
where
    P: Fn(&[u8]) -> S::Photo,
{
    let all = Change {
        put: vec![
            row("a", "note", "c", "A \u{2713}"),
            row("b", "job", "c", "B"),
        ],
        photos: vec![("photo".to_owned(), (place.photo)(&bytes()))],
        ..Change::default()
    };
    change(store, all).await?;
    well(store.set_fact("fact", "value").await)
}

/// What [`fill`] wrote is there.
pub(crate) async fn filled<S: Store, O, P, B>(store: &S, place: &Place<O, P, B>) -> Outcome
where
    B: AsyncFn(S::Photo) -> Vec<u8>,
{
    let rows = vec![
        row("a", "note", "c", "A \u{2713}"),
        row("b", "job", "c", "B"),
    ];
    same("rows", well(store.rows_after("", 10).await)?, rows.clone())?;
    same("of console", well(store.of_console("c").await)?, rows)?;
    same(
        "fact",
        well(store.fact("fact").await)?,
        Some("value".to_owned()),
    )?;
    let photo = well(store.photo("photo").await)?;
    let photo = photo.ok_or_else(|| "the photo is gone".to_owned())?;
    same("photo", (place.bytes)(photo).await, bytes())
}
