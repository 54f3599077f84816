//! One suite of tests that every [`Store`] has to pass: the memory of this
//! process in the native tests, the browser's database in a real browser.
//!
//! It needs no executor, clock or thread, so that it runs anywhere. Order of
//! ids is only asked for where UTF-8 and UTF-16 agree: a browser compares its
//! keys by UTF-16 units, and ids made by the app are plain ASCII.

mod rows;
mod writes;

use crate::store::{Change, Fault, Row, Store};
use std::future::poll_fn;
use std::pin::pin;
use std::task::Poll;

/// What a case says: nothing, or what is wrong.
pub(crate) type Outcome = Result<(), String>;

/// How the stores to be tested are opened, and how their photos are made.
pub(crate) struct Place<O, P, B> {
    pub(crate) open: O,
    pub(crate) photo: P,
    pub(crate) bytes: B,
}

/// Runs all cases and gives the name and outcome of each.
///
/// `open` opens the store of a name; the same name again has to give the same
/// store, as a second tab does, and a new name (all begin with `suite-`) an
/// empty one. `photo` makes a photo of bytes and `photo_bytes` gives them back.
pub async fn run<S: Store, F: Future<Output = S>>(
    open: impl Fn(&str) -> F,
    photo: impl Fn(&[u8]) -> S::Photo,
    photo_bytes: impl AsyncFn(S::Photo) -> Vec<u8>,
) -> Vec<(String, Outcome)> {
    let place = Place {
        open,
        photo,
        bytes: photo_bytes,
    };
    let mut all = Vec::new();
    let mut note = |name: &str, outcome: Outcome| all.push((name.to_owned(), outcome));
    let open = |name: &str| (place.open)(&("suite-".to_owned() + name));
    note(
        "an empty store has nothing",
        rows::empty(&open("empty").await).await,
    );
    note(
        "a row comes back as it was put, and is replaced",
        rows::put_and_replace(&open("put").await).await,
    );
    note(
        "odd and long texts come back as they were put",
        rows::texts(&open("texts").await).await,
    );
    note(
        "rows come in the order of their ids",
        rows::order(&open("order").await).await,
    );
    note(
        "paging gives each row once",
        rows::paging(&open("paging").await).await,
    );
    note(
        "rows are found by kind and by console, exactly",
        rows::by_kind_and_console(&open("by").await).await,
    );
    note(
        "a fact is kept and replaced",
        rows::facts(&open("facts").await).await,
    );
    note(
        "photos are kept, replaced, listed and dropped",
        writes::photos(&open("photos").await, &place).await,
    );
    note(
        "a refused change writes nothing",
        writes::refused(&open("refused").await, &place).await,
    );
    note(
        "a change of many things is made whole",
        writes::whole(&open("whole").await, &place).await,
    );
    note(
        "a change sees the rows in the order they were asked for",
        writes::asked(&open("asked").await).await,
    );
    note(
        "changes at the same time each see the other's rows",
        writes::together(&open("together").await, &open("together").await).await,
    );
    note(
        "who reads during a change sees all of it or nothing",
        writes::read_during(&open("during").await, &open("during").await).await,
    );
    let first = open("again").await;
    let filled = writes::fill(&first, &place).await;
    let second = open("again").await;
    note(
        "a store that is opened again has everything",
        match filled {
            Ok(()) => writes::filled(&second, &place).await,
            no => no,
        },
    );
    drop(first);
    let third = open("again").await;
    note(
        "a store that was let go has everything when it is opened",
        writes::filled(&third, &place).await,
    );
    all
}

/// A row for tests.
pub(crate) fn row(id: &str, kind: &str, console: &str, body: &str) -> Row {
    Row {
        id: id.to_owned(),
        kind: kind.to_owned(),
        console: console.to_owned(),
        body: body.to_owned(),
    }
}

/// Puts rows.
pub(crate) async fn put<S: Store>(store: &S, rows: &[Row]) -> Outcome {
    let mut decide = |_| {
        Ok(Change {
            put: rows.to_vec(),
            ..Change::default()
        })
    };
    well(store.change(&[], &mut decide).await)
}

/// What was given, or the fault in words.
pub(crate) fn well<T>(result: Result<T, Fault>) -> Result<T, String> {
    result.map_err(|fault| format!("a fault: {fault:?}"))
}

/// Compares what is there with what should be.
pub(crate) fn same<T: PartialEq + std::fmt::Debug>(what: &str, is: T, should: T) -> Outcome {
    if is == should {
        return Ok(());
    }
    // A text of megabytes helps nobody.
    let short = |value: T| format!("{value:?}").chars().take(300).collect::<String>();
    Err(what.to_owned() + ": " + &short(is) + " is not " + &short(should))
}

/// The ids of rows.
pub(crate) fn ids(rows: &[Row]) -> Vec<&str> {
    rows.iter().map(|r| r.id.as_str()).collect()
}

/// Lets two things go on at the same time.
pub async fn both<A, B>(a: impl Future<Output = A>, b: impl Future<Output = B>) -> (A, B) {
    let (mut a, mut b) = (pin!(a), pin!(b));
    let (mut one, mut two) = (None, None);
    poll_fn(|context| {
        if one.is_none()
            && let Poll::Ready(value) = a.as_mut().poll(context)
        {
            one = Some(value);
        }
        if two.is_none()
            && let Poll::Ready(value) = b.as_mut().poll(context)
        {
            two = Some(value);
        }
        match (one.take(), two.take()) {
            (Some(one), Some(two)) => Poll::Ready((one, two)),
            (left, right) => {
                (one, two) = (left, right);
                Poll::Pending
            }
        }
    })
    .await
}
