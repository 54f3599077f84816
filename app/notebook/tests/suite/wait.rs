//! Running futures in a test, without an executor.

use std::future::poll_fn;
use std::pin::pin;
use std::task::{Context, Poll, Waker};

/// The outcome of a future that needs nobody to wake it.
pub fn wait<T>(future: impl Future<Output = T>) -> T {
    let mut future = pin!(future);
    let mut context = Context::from_waker(Waker::noop());
    for _ in 0..1_000_000 {
        if let Poll::Ready(value) = future.as_mut().poll(&mut context) {
            return value;
        }
    }
    unreachable!("the future never ends")
}

/// Lets the others go first, as a real database does.
pub async fn slow() {
    let mut before = true;
    poll_fn(|_| {
        if std::mem::take(&mut before) {
            Poll::Pending
        } else {
            Poll::Ready(())
        }
    })
    .await;
}
