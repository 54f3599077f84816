//! Waiting for something to become true, with a limit.

use std::time::{Duration, Instant};

const LIMIT: Duration = Duration::from_secs(20);

/// Asks again and again until there is an answer.
///
/// # Errors
/// When there is none in time; `what` says for what was waited.
pub async fn until<T>(
    what: &str,
    mut ask: impl AsyncFnMut() -> anyhow::Result<Option<T>>,
) -> anyhow::Result<T> {
    let start = Instant::now();
    let mut last = None;
    while start.elapsed() < LIMIT {
        match ask().await {
            Ok(Some(found)) => return Ok(found),
            Ok(None) => last = None,
            // A page in the middle of loading answers with an error.
            Err(error) => last = Some(error),
        }
        tokio::time::sleep(Duration::from_millis(60)).await;
    }
    match last {
        Some(error) => Err(error.context(format!("waited in vain for {what}"))),
        None => anyhow::bail!("waited in vain for {what}"),
    }
}
