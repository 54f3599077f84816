//! A checklist from what a job involves.
//!
//! The data files hold all steps once, in bench order. A checklist is that list
//! with only the steps that apply, so nothing can come twice or in another order.

use crate::data::{Care, Step};

/// What a job needs, in bench order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Checklist {
    /// The kinds of work, as asked for; those that are not there left out.
    pub works: Vec<String>,
    /// All that the job involves, with what comes with it.
    pub tags: Vec<String>,
    /// Places in [`Care::steps`].
    pub steps: Vec<usize>,
    /// Places in [`Care::hazards`]: those of the tags and of the steps.
    pub hazards: Vec<usize>,
    /// Places in [`Care::kit`], and how many: of what each step needs of its own
    /// the sum, of all else the most that one step needs.
    pub kit: Vec<(usize, u32)>,
    /// The time of all steps, from and to, in minutes.
    pub minutes: (u32, u32),
    /// What the works do not cure or prove.
    pub not: Vec<String>,
    /// Where the advice ends.
    pub ends: Vec<String>,
}

impl Care {
    /// The checklist for some kinds of work, and whatever else a job involves.
    /// Ids that are not there are passed over.
    pub fn compose(&self, works: &[&str], tags: &[&str]) -> Checklist {
        let mut list = Checklist::default();
        let chosen = self.works.iter().filter(|w| works.contains(&w.id.as_str()));
        let asked = tags.iter().map(|t| (*t).to_owned());
        let mut open: Vec<String> = asked.collect();
        for work in chosen {
            list.works.push(work.id.clone());
            open.extend(work.involves.iter().cloned());
            for text in &work.not {
                once(&mut list.not, text);
            }
            for text in &work.ends {
                once(&mut list.ends, text);
            }
            self.add_kit(&mut list, &work.kit);
        }
        while let Some(id) = open.pop() {
            let Some(tag) = self.tags.iter().find(|t| t.id == id) else {
                continue;
            };
            if !list.tags.contains(&id) {
                open.extend(tag.implies.iter().cloned());
                list.tags.push(id);
                self.add_hazards(&mut list, &tag.hazards);
            }
        }
        for (n, step) in self.steps.iter().enumerate() {
            if applies(step, &list) {
                list.steps.push(n);
                list.minutes.0 = list.minutes.0.saturating_add(step.minutes.0);
                list.minutes.1 = list.minutes.1.saturating_add(step.minutes.1);
                self.add_hazards(&mut list, &step.hazards);
                self.add_kit(&mut list, &step.kit);
            }
        }
        list.hazards.sort_unstable();
        let order = |id: &String| self.tags.iter().position(|t| t.id == *id);
        list.tags.sort_by_key(order);
        list
    }

    fn add_hazards(&self, list: &mut Checklist, ids: &[String]) {
        for id in ids {
            let at = self.hazards.iter().position(|h| h.id == *id);
            if let Some(at) = at.filter(|n| !list.hazards.contains(n)) {
                list.hazards.push(at);
            }
        }
    }

    fn add_kit(&self, list: &mut Checklist, kit: &[(String, u32)]) {
        for (id, number) in kit {
            let Some(at) = self.kit.iter().position(|k| k.id == *id) else {
                continue;
            };
            let used = self.kit.get(at).is_some_and(|k| k.kind == "used");
            match list.kit.iter_mut().find(|(known, _)| *known == at) {
                Some((_, n)) if used => *n = n.saturating_add(*number),
                Some((_, n)) => *n = (*n).max(*number),
                None => list.kit.push((at, *number)),
            }
        }
    }
}

fn applies(step: &Step, list: &Checklist) -> bool {
    let there = |name: &String| list.tags.contains(name) || list.works.contains(name);
    step.when.iter().any(there) && step.also.iter().all(there) && !step.unless.iter().any(there)
}

fn once(to: &mut Vec<String>, text: &str) {
    if !to.iter().any(|known| known == text) {
        to.push(text.to_owned());
    }
}
