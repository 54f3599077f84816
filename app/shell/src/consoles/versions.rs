//! Former versions of a record: every edit kept one.

use super::facts::rows;
use crate::app::App;
use crate::platform::clock;
use crate::platform::dom::Dom;
use crate::route;
use crate::widgets::bits::{button, fold, line, nothing, tag};
use notebook::{Item, Record, View};

/// Versions shown; the newest come first.
const MOST: usize = 50;

/// The list, folded.
pub fn section(app: App, record: &Record) -> Dom {
    let all = record.versions();
    if all.len() < 2 {
        return nothing();
    }
    let now = record.view().data;
    let style = app.settings.get_untracked().clock();
    let mut list = Vec::new();
    for version in all
        .iter()
        .rev()
        .filter(|v| v.data != now || v.gone)
        .take(MOST)
    {
        let when = clock::moment(version.at, style);
        let item = Item {
            id: record.id.clone(),
            kind: record.kind.clone(),
            view: View {
                data: version.data.clone(),
                ..View::default()
            },
            ..Item::default()
        };
        let id = record.id.clone();
        let data = version.data.clone();
        let act = if version.gone {
            line("p", "", "Deleted here.")
        } else {
            button("plain", "undo", "Bring this back", move || {
                let (id, data) = (id.clone(), data.clone());
                leptos::task::spawn_local(async move {
                    let former = app.notes.edit(&id, |now, _| *now = data).await;
                    if former.is_some() {
                        app.toasts
                            .say("The former version is back. The one before it is kept too.");
                        route::sync(app.route);
                        app.route.notify();
                    }
                });
            })
        };
        list.push(tag(
            "li",
            "",
            vec![line("b", "", when), rows(app, &item, ""), act],
        ));
    }
    let title = "Former versions: ".to_owned() + &list.len().to_string();
    fold(title, false, vec![tag("ul", "records", list)])
}
