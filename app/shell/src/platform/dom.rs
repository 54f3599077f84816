//! The one view type of the app, and the builder that makes it.
//!
//! Each `view!` of leptos is a type of its own with code of its own. That code
//! was 220 of the 1540 kB of this program, more than a phone should fetch. So
//! all elements go through one builder. What changes by itself is still made of
//! leptos' signals and effects, and [`Dom`] is mounted like any view of leptos.

use leptos::prelude::{RenderEffect, document};
use leptos::tachys::renderer::types::{Element as TachysElement, Node as TachysNode};
use leptos::tachys::view::{Mountable, Render};
use wasm_bindgen::{JsCast, JsValue, closure::Closure};
use web_sys::{Element, Event, HtmlElement, Node};

const SVG: &str = "http://www.w3.org/2000/svg";

/// A piece of the page: its nodes, and what must live as long as they do.
///
/// It is one pointer, as it is handed on at hundreds of places.
#[derive(Default)]
pub struct Dom(Option<Box<Piece>>);

#[derive(Default)]
struct Piece {
    nodes: Vec<Node>,
    keep: Vec<Keep>,
}

/// What keeps a piece of the page going. Dropping it stops it.
#[allow(dead_code, reason = "kept to be dropped, never read")]
enum Keep {
    Attribute(RenderEffect<()>),
    Part(RenderEffect<Dom>),
    Handler(Closure<dyn Fn(Event)>),
}

impl Dom {
    fn of(nodes: Vec<Node>, keep: Vec<Keep>) -> Self {
        Self(Some(Box::new(Piece { nodes, keep })))
    }

    fn nodes(&self) -> &[Node] {
        self.0.as_ref().map_or(&[], |p| &p.nodes)
    }

    /// Text.
    #[inline(never)]
    pub fn text(text: &str) -> Self {
        Self::of(vec![document().create_text_node(text).into()], Vec::new())
    }

    /// Several pieces, one after the other.
    pub fn many(parts: Vec<Self>) -> Self {
        let mut all = Piece::default();
        for part in parts.into_iter().filter_map(|p| p.0) {
            all.nodes.extend(part.nodes);
            all.keep.extend(part.keep);
        }
        Self(Some(Box::new(all)))
    }

    /// A piece that is drawn anew whenever a signal read in `draw` changes.
    pub fn live(draw: impl Fn() -> Self + 'static) -> Self {
        Self::live_boxed(Box::new(draw))
    }

    fn live_boxed(draw: Box<dyn Fn() -> Self>) -> Self {
        // Two comments mark the place; between them the piece comes and goes.
        let start: Node = document().create_comment("").into();
        let end: Node = document().create_comment("").into();
        let home: Node = document().create_document_fragment().into();
        drop(home.append_child(&start));
        drop(home.append_child(&end));
        let (first, last) = (start.clone(), end.clone());
        let effect = RenderEffect::new(move |before: Option<Self>| {
            let now = draw();
            drop(before);
            if let Some(parent) = last.parent_node() {
                while let Some(old) = first.next_sibling().filter(|n| *n != last) {
                    drop(parent.remove_child(&old));
                }
                for node in now.nodes() {
                    drop(parent.insert_before(node, Some(&last)));
                }
            }
            now
        });
        let mut nodes = Vec::new();
        let mut next = Some(start);
        while let Some(node) = next {
            next = node.next_sibling();
            nodes.push(node);
        }
        Self::of(nodes, vec![Keep::Part(effect)])
    }
}

impl Render for Dom {
    type State = Self;

    fn build(self) -> Self {
        self
    }

    fn rebuild(self, state: &mut Self) {
        *state = self;
    }
}

impl Mountable for Dom {
    fn unmount(&mut self) {
        for node in self.nodes() {
            if let Some(parent) = node.parent_node() {
                drop(parent.remove_child(node));
            }
        }
    }

    fn mount(&mut self, parent: &TachysElement, marker: Option<&TachysNode>) {
        for node in self.nodes() {
            drop(parent.insert_before(node, marker));
        }
    }

    fn insert_before_this(&self, child: &mut dyn Mountable) -> bool {
        let first = self.nodes().first();
        let parent = first.and_then(Node::parent_element);
        if let Some(parent) = &parent {
            child.mount(parent, first);
        }
        parent.is_some()
    }

    fn elements(&self) -> Vec<TachysElement> {
        self.nodes()
            .iter()
            .filter_map(|n| n.dyn_ref::<Element>().cloned())
            .collect()
    }
}

/// An element being put together.
pub struct El(Box<Made>);

struct Made {
    node: Element,
    keep: Vec<Keep>,
}

impl El {
    /// An element by name. Names are fixed words of this program, so that the
    /// browser always knows them.
    pub fn new(name: &'static str) -> Self {
        Self::from(document().create_element(name).ok())
    }

    /// An element of a drawing.
    #[inline(never)]
    pub fn svg(name: &'static str) -> Self {
        Self::from(document().create_element_ns(Some(SVG), name).ok())
    }

    #[inline(never)]
    fn from(node: Option<Element>) -> Self {
        // The browser refuses only names that are no names at all.
        let node = node.unwrap_or_else(|| JsValue::NULL.unchecked_into());
        Self(Box::new(Made {
            node,
            keep: Vec::new(),
        }))
    }

    /// The element itself.
    pub fn node(&self) -> &Element {
        &self.0.node
    }

    /// Sets an attribute.
    #[inline(never)]
    pub fn attr(self, name: &str, value: &str) -> Self {
        drop(self.0.node.set_attribute(name, value));
        self
    }

    /// Sets the class.
    #[inline(never)]
    pub fn class(self, value: &str) -> Self {
        self.attr("class", value)
    }

    /// An attribute that follows signals; `None` takes it away.
    pub fn live_attr(
        mut self,
        name: &'static str,
        value: impl Fn() -> Option<String> + 'static,
    ) -> Self {
        let node = self.0.node.clone();
        let value: Box<dyn Fn() -> Option<String>> = Box::new(value);
        let effect = RenderEffect::new(move |_| match value() {
            Some(v) => drop(node.set_attribute(name, &v)),
            None => drop(node.remove_attribute(name)),
        });
        self.0.keep.push(Keep::Attribute(effect));
        self
    }

    /// A property that follows signals, such as the value of a text box.
    pub fn live_prop(mut self, name: &'static str, value: impl Fn() -> JsValue + 'static) -> Self {
        let node = self.0.node.clone();
        let value: Box<dyn Fn() -> JsValue> = Box::new(value);
        let effect = RenderEffect::new(move |_| {
            let key = JsValue::from_str(name);
            let (now, next) = (js_sys::Reflect::get(&node, &key), value());
            // Writing the same text again would move the caret.
            if now.is_ok_and(|now| now != next) {
                drop(js_sys::Reflect::set(&node, &key, &next));
            }
        });
        self.0.keep.push(Keep::Attribute(effect));
        self
    }

    /// A style that follows signals. It is set by script, as the site's policy
    /// forbids style attributes.
    pub fn live_style(mut self, name: &'static str, value: impl Fn() -> String + 'static) -> Self {
        let node = self.0.node.clone();
        let value: Box<dyn Fn() -> String> = Box::new(value);
        let effect = RenderEffect::new(move |_| {
            if let Some(el) = node.dyn_ref::<HtmlElement>() {
                drop(el.style().set_property(name, &value()));
            }
        });
        self.0.keep.push(Keep::Attribute(effect));
        self
    }

    /// Calls `act` on an event.
    pub fn on(mut self, event: &'static str, act: impl Fn(Event) + 'static) -> Self {
        let act: Box<dyn Fn(Event)> = Box::new(act);
        let handler = Closure::<dyn Fn(Event)>::wrap(act);
        drop(
            self.0
                .node
                .add_event_listener_with_callback(event, handler.as_ref().unchecked_ref()),
        );
        self.0.keep.push(Keep::Handler(handler));
        self
    }

    /// Adds a child.
    #[inline(never)]
    pub fn kid(mut self, kid: Dom) -> Self {
        if let Some(kid) = kid.0 {
            for node in &kid.nodes {
                drop(self.0.node.append_child(node));
            }
            self.0.keep.extend(kid.keep);
        }
        self
    }

    /// Adds children.
    #[inline(never)]
    pub fn kids(self, kids: Vec<Dom>) -> Self {
        kids.into_iter().fold(self, Self::kid)
    }

    /// Adds text.
    #[inline(never)]
    pub fn text(self, text: &str) -> Self {
        self.kid(Dom::text(text))
    }

    /// The finished element.
    #[inline(never)]
    pub fn done(self) -> Dom {
        Dom::of(vec![self.0.node.into()], self.0.keep)
    }
}
