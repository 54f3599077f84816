//! State that lives as long as the page or part of it that made it, and that
//! can be copied into handlers.
//!
//! The signals of leptos do this for each type with code of its own, some 2 KB
//! of program a type. Here one signal and one stored value serve all types:
//! [`State`] is a value with a signal that tells when it changed, [`Kept`] is a
//! value nobody has to be told about. When the part of the page is gone, reading
//! gives the type's default and writing does nothing.

use leptos::prelude::{
    Effect, GetUntracked, GetValue, LocalStorage, RwSignal, StoredValue, Track, Update,
};
use std::any::Any;
use std::cell::RefCell;
use std::marker::PhantomData;
use std::rc::Rc;

type Held = StoredValue<Rc<dyn Any>, LocalStorage>;

#[inline(never)]
fn held(held: Held) -> Option<Rc<dyn Any>> {
    held.try_get_value()
}

#[inline(never)]
fn hold(value: Rc<dyn Any>) -> Held {
    StoredValue::new_local(value)
}

/// A value that nobody has to be told about.
pub struct Kept<T>(Held, PhantomData<fn() -> T>);

impl<T> Clone for Kept<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Kept<T> {}

impl<T: 'static> Kept<T> {
    /// Keeps a value.
    pub fn new(value: T) -> Self {
        Self(hold(Rc::new(RefCell::new(value))), PhantomData)
    }

    /// Looks at it; `None` when it is gone.
    pub fn try_with_value<R>(self, look: impl FnOnce(&T) -> R) -> Option<R> {
        let cell = held(self.0)?;
        let value = cell.downcast_ref::<RefCell<T>>()?.try_borrow().ok()?;
        Some(look(&value))
    }

    /// Looks at it.
    pub fn with_value<R: Default>(self, look: impl FnOnce(&T) -> R) -> R {
        self.try_with_value(look).unwrap_or_default()
    }

    /// Changes it; `None` when it is gone.
    pub fn try_update_value<R>(self, change: impl FnOnce(&mut T) -> R) -> Option<R> {
        let cell = held(self.0)?;
        let mut value = cell.downcast_ref::<RefCell<T>>()?.try_borrow_mut().ok()?;
        Some(change(&mut value))
    }

    /// Changes it.
    pub fn update_value(self, change: impl FnOnce(&mut T)) {
        self.try_update_value(change);
    }

    /// Puts another one in its place.
    pub fn set_value(self, value: T) {
        // The old one is dropped when nothing is borrowed any more: dropping it
        // may run code that looks here.
        drop(self.try_update_value(|v| std::mem::replace(v, value)));
    }
}

impl<T: Clone + 'static> Kept<T> {
    /// A copy; `None` when it is gone.
    pub fn try_get_value(self) -> Option<T> {
        self.try_with_value(T::clone)
    }

    /// A copy.
    pub fn get_value(self) -> T
    where
        T: Default,
    {
        self.try_get_value().unwrap_or_default()
    }
}

/// A value with a signal: what reads it is run again when it changes.
pub struct State<T> {
    value: Kept<T>,
    changed: RwSignal<u32>,
}

impl<T> Clone for State<T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for State<T> {}

#[inline(never)]
fn tell(changed: RwSignal<u32>) {
    changed.try_update(|n| *n = n.wrapping_add(1));
}

#[inline(never)]
fn follow(changed: RwSignal<u32>) {
    // Of a part that is gone nothing is to be followed.
    if changed.try_get_untracked().is_some() {
        changed.track();
    }
}

impl<T: 'static> State<T> {
    /// Begins with a value.
    pub fn new(value: T) -> Self {
        Self {
            value: Kept::new(value),
            changed: RwSignal::new(0),
        }
    }

    /// Follows it without looking.
    pub fn track(self) {
        follow(self.changed);
    }

    /// Says that it changed.
    pub fn notify(self) {
        tell(self.changed);
    }

    /// Looks at it, and follows it.
    pub fn with<R: Default>(self, look: impl FnOnce(&T) -> R) -> R {
        follow(self.changed);
        self.value.with_value(look)
    }

    /// Looks at it.
    pub fn with_untracked<R: Default>(self, look: impl FnOnce(&T) -> R) -> R {
        self.value.with_value(look)
    }

    /// Looks at it; `None` when it is gone.
    pub fn try_with_untracked<R>(self, look: impl FnOnce(&T) -> R) -> Option<R> {
        self.value.try_with_value(look)
    }

    /// Puts another one in its place.
    pub fn set(self, value: T) {
        self.value.set_value(value);
        tell(self.changed);
    }

    /// Puts another one in its place; gives it back when the state is gone.
    pub fn try_set(self, value: T) -> Option<T> {
        let mut back = Some(value);
        let old = self.value.try_update_value(|v| {
            if let Some(new) = back.take() {
                return Some(std::mem::replace(v, new));
            }
            None
        });
        drop(old);
        tell(self.changed);
        back
    }

    /// Changes it.
    pub fn update(self, change: impl FnOnce(&mut T)) {
        self.try_update(change);
    }

    /// Changes it; `None` when it is gone.
    pub fn try_update<R>(self, change: impl FnOnce(&mut T) -> R) -> Option<R> {
        let out = self.value.try_update_value(change);
        tell(self.changed);
        out
    }
}

impl<T: Clone + Default + 'static> State<T> {
    /// A copy, and follows it.
    pub fn get(self) -> T {
        follow(self.changed);
        self.value.get_value()
    }

    /// A copy.
    pub fn get_untracked(self) -> T {
        self.value.get_value()
    }

    /// A copy; `None` when it is gone.
    pub fn try_get_untracked(self) -> Option<T> {
        self.value.try_get_value()
    }
}

/// Does something now, and again whenever a state read in it changes.
pub fn effect(act: impl Fn() + 'static) {
    let act: Box<dyn Fn()> = Box::new(act);
    Effect::new(move |_: Option<()>| act());
}
