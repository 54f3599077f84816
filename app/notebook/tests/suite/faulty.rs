//! A store in memory that takes its time, and that can have a flaw.

use crate::wait::slow;
use notebook::{Change, Fault, Memory, Row, Store};
use std::rc::Rc;

/// What is wrong with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    PrefixKind,
    PageStartsAt,
    KindUnsorted,
    WritesWhenRefused,
    ReadsBeforeItWaits,
    WritesInTwo,
    CutsAtZero,
    KeepsPhotos,
    SkipsMissing,
    ForgetsFacts,
}

/// The store.
pub struct Faulty {
    pub memory: Rc<Memory>,
    pub flaw: Option<Flaw>,
}

impl Faulty {
    fn has(&self, flaw: Flaw) -> bool {
        self.flaw == Some(flaw)
    }
}

impl Store for Faulty {
    type Photo = Vec<u8>;

    async fn row(&self, id: &str) -> Result<Option<Row>, Fault> {
        slow().await;
        self.memory.row(id).await
    }

    async fn of_kind(&self, kind: &str) -> Result<Vec<Row>, Fault> {
        slow().await;
        if self.has(Flaw::PrefixKind) {
            let all = self.memory.rows_after("", u32::MAX).await?;
            return Ok(all
                .into_iter()
                .filter(|r| r.kind.starts_with(kind))
                .collect());
        }
        let mut rows = self.memory.of_kind(kind).await?;
        if self.has(Flaw::KindUnsorted) {
            rows.reverse();
        }
        Ok(rows)
    }

    async fn of_console(&self, console: &str) -> Result<Vec<Row>, Fault> {
        slow().await;
        self.memory.of_console(console).await
    }

    async fn rows_after(&self, after: &str, most: u32) -> Result<Vec<Row>, Fault> {
        slow().await;
        let mut rows = self.memory.rows_after(after, most).await?;
        if self.has(Flaw::PageStartsAt)
            && let Some(own) = self.memory.row(after).await?
        {
            rows.insert(0, own);
            rows.truncate(most as usize);
        }
        Ok(rows)
    }

    async fn count(&self) -> Result<u32, Fault> {
        slow().await;
        self.memory.count().await
    }

    async fn photo(&self, id: &str) -> Result<Option<Vec<u8>>, Fault> {
        slow().await;
        self.memory.photo(id).await
    }

    async fn photo_ids(&self) -> Result<Vec<String>, Fault> {
        slow().await;
        self.memory.photo_ids().await
    }

    async fn fact(&self, name: &str) -> Result<Option<String>, Fault> {
        slow().await;
        self.memory.fact(name).await
    }

    async fn set_fact(&self, name: &str, value: &str) -> Result<(), Fault> {
        slow().await;
        if self.has(Flaw::ForgetsFacts) && name == "fact" {
            return Ok(());
        }
        self.memory.set_fact(name, value).await
    }

    async fn change(
        &self,
        ids: &[String],
        decide: &mut dyn FnMut(Vec<Option<Row>>) -> Result<Change<Vec<u8>>, Fault>,
    ) -> Result<(), Fault> {
        let mut before = Vec::new();
        if self.has(Flaw::ReadsBeforeItWaits) {
            for id in ids {
                before.push(self.memory.row(id).await?);
            }
        }
        slow().await;
        let mut second = Vec::new();
        let mut decide = |mut rows: Vec<Option<Row>>| {
            if self.has(Flaw::ReadsBeforeItWaits) {
                rows.clone_from(&before);
            }
            if self.has(Flaw::SkipsMissing) {
                rows.retain(Option::is_some);
            }
            let mut change = match decide(rows) {
                Err(_) if self.has(Flaw::WritesWhenRefused) => Change {
                    drop: ids.to_vec(),
                    ..Change::default()
                },
                decided => decided?,
            };
            if self.has(Flaw::CutsAtZero) {
                for row in &mut change.put {
                    let end = row.body.find('\0').unwrap_or(row.body.len());
                    row.body.truncate(end);
                }
            }
            if self.has(Flaw::KeepsPhotos) {
                change.drop_photos.clear();
            }
            if self.has(Flaw::WritesInTwo) {
                second = change.put.split_off(change.put.len() / 2);
            }
            Ok(change)
        };
        self.memory.change(ids, &mut decide).await?;
        if !second.is_empty() {
            slow().await;
            let mut rest = |_| {
                Ok(Change {
                    put: second.clone(),
                    ..Change::default()
                })
            };
            self.memory.change(&[], &mut rest).await?;
        }
        Ok(())
    }
}
