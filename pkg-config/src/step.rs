//! What the tool says while it works: each step with its reason and its time,
//! and a failure as one message that names the mend.

use std::fmt;
use std::io::Write;
use std::time::{Duration, Instant};

/// A failure that says what to do about it.
#[derive(Debug)]
pub struct Problem {
    /// What is wrong.
    pub what: String,
    /// What to do next.
    pub mend: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

impl std::error::Error for Problem {}

/// A failure with its mend, as an error.
pub fn problem(what: impl Into<String>, mend: impl Into<String>) -> anyhow::Error {
    anyhow::Error::new(Problem {
        what: what.into(),
        mend: mend.into(),
    })
}

/// Does one step: says what and why, then how long it took.
///
/// # Errors
/// Hands on what the step failed with, under the step's name.
pub fn step<T>(
    what: &str,
    why: &str,
    work: impl FnOnce() -> anyhow::Result<T>,
) -> anyhow::Result<T> {
    say(&format!("\n==> {what}\n    why: {why}"));
    let start = Instant::now();
    let done = work();
    let word = if done.is_ok() { "done" } else { "failed" };
    say(&format!("    {word} in {}", seconds(start.elapsed())));
    done.map_err(|e| e.context(format!("this step failed: {what}")))
}

/// A line for the person who waits.
pub fn say(text: &str) {
    let mut out = std::io::stdout().lock();
    // Nobody reads a closed pipe, and the work goes on all the same.
    drop(writeln!(out, "{text}"));
    drop(out.flush());
}

/// A time span in words.
pub fn seconds(time: Duration) -> String {
    let s = time.as_secs_f64();
    if s < 90.0 {
        format!("{s:.1} s")
    } else {
        format!("{} min {:02} s", s as u64 / 60, s as u64 % 60)
    }
}

/// The closing message of a run that failed: the chain of reasons, then the mend.
pub fn failure(error: &anyhow::Error) -> String {
    let mut text = String::from("\nStopped.\n");
    for (depth, cause) in error.chain().enumerate() {
        text.push_str(&format!(
            "{}{cause}\n",
            if depth == 0 { "  " } else { "  because " }
        ));
    }
    let mend = error
        .chain()
        .find_map(|c| c.downcast_ref::<Problem>())
        .map(|p| p.mend.as_str());
    text.push_str("To mend it: ");
    text.push_str(mend.unwrap_or("read the message above, it comes from the tool that failed."));
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failure_names_every_reason_and_one_mend() {
        let error = problem("no linker", "install lld").context("this step failed: build");
        let text = failure(&error);
        assert!(
            text.contains("this step failed: build\n  because no linker\n"),
            "{text}"
        );
        assert!(text.ends_with("To mend it: install lld"), "{text}");
    }

    #[test]
    fn times_read_well() {
        assert_eq!(seconds(Duration::from_millis(1260)), "1.3 s");
        assert_eq!(seconds(Duration::from_secs(160)), "2 min 40 s");
    }
}
