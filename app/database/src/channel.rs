//! Word from one tab to the others that something in the notebook changed.

use wasm_bindgen::{JsCast, closure::Closure};
use web_sys::{BroadcastChannel, MessageEvent};

/// The channel between all open pages of this app. A browser without such
/// channels says and hears nothing.
#[derive(Clone, Debug)]
pub struct Channel(Option<BroadcastChannel>);

impl Default for Channel {
    fn default() -> Self {
        Self(BroadcastChannel::new("faultleaf-notebook").ok())
    }
}

impl Channel {
    /// Says something to all other pages, not to this one.
    pub fn say(&self, word: &str) {
        if let Some(channel) = &self.0 {
            // Fails only when the channel is closed, which this never does.
            drop(channel.post_message(&word.into()));
        }
    }

    /// Calls `then` with everything the others say, in the place of what was
    /// called before.
    pub fn on(&self, then: impl Fn(String) + 'static) {
        if let Some(channel) = &self.0 {
            let hear = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
                if let Some(word) = event.data().as_string() {
                    then(word);
                }
            });
            channel.set_onmessage(Some(hear.into_js_value().unchecked_ref()));
        }
    }
}
