//! Photos on their way into the notebook: made smaller, and only their pixels
//! taken over.
//!
//! A photo of a phone carries where and when it was taken, and often a second,
//! uncut picture. None of that belongs in a notebook that is shared. So a photo
//! is drawn on a canvas and written anew as JPEG: a canvas holds pixels and
//! nothing else. What the browser adds itself (the name of the format, the
//! colours of the canvas) is the same for every picture.

use super::{files, share, worker};
use crate::text;
use js_sys::{Object, Promise, Reflect};
use leptos::prelude::{document, window};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, ImageBitmap,
    ImageBitmapOptions,
};

/// The longer side of a kept photo is at most this many pixels.
///
/// Print on a board is about 1 mm high (common practice, no source). Across a
/// part of a board 150 mm wide, 1600 pixels leave some 10 for each millimetre,
/// enough to read it. Twice the side would take four times the room, and a
/// notebook of 500 photos has to fit on a phone and into one backup file. (A
/// picture of 4000 x 3000 pixels full of print and noise became 419 KB in
/// Chromium 156; 500 of those are 210 MB.)
const LONGEST: f64 = 1600.0;
/// How exact the JPEG is, of 1 (common practice, no source).
const QUALITY: f64 = 0.82;
/// A picture with more pixels than this is not opened. Four bytes a pixel, it
/// would take 240 MB; and half its side, the first step down, still fits the
/// largest canvas of an iPhone (16.7 million pixels, from memory).
const MOST_PIXELS: f64 = 60e6;
/// A file larger than this, in bytes, is not opened.
const MOST_BYTES: f64 = 80e6;

/// A photo as it is kept.
pub struct Taken {
    /// A JPEG without anything but pixels.
    pub blob: Blob,
    /// Its width in pixels.
    pub wide: u32,
    /// Its height in pixels.
    pub high: u32,
}

/// Why a file was not taken in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// There is nothing in it.
    Empty,
    /// It is too large, in bytes or in pixels.
    TooLarge,
    /// It says itself that it is no picture.
    NotPicture,
    /// This browser can't make a picture of it.
    Unreadable,
    /// There was not enough memory to make it smaller.
    NoMemory,
}

impl Refusal {
    /// What a person is told: what is wrong, and what to do.
    pub fn words(self) -> &'static str {
        match self {
            Self::Empty => text::PHOTO_EMPTY,
            Self::TooLarge => text::PHOTO_TOO_LARGE,
            Self::NotPicture => text::PHOTO_NO_PICTURE,
            Self::Unreadable => text::PHOTO_UNREADABLE,
            Self::NoMemory => text::PHOTO_NO_MEMORY,
        }
    }
}

/// Makes a photo fit to be kept. It is turned the way its camera says.
///
/// # Errors
/// [`Refusal`], when the file is no picture, too large, or can't be read.
pub async fn take_in(blob: &Blob) -> Result<Taken, Refusal> {
    if blob.size() == 0.0 {
        return Err(Refusal::Empty);
    }
    if blob.size() > MOST_BYTES {
        return Err(Refusal::TooLarge);
    }
    let address = files::address(blob).ok_or(Refusal::Unreadable)?;
    let done = from_address(blob, &address).await;
    files::release(&address);
    done
}

async fn from_address(blob: &Blob, address: &str) -> Result<Taken, Refusal> {
    let no_picture = if blob.type_().is_empty() || blob.type_().starts_with("image/") {
        Refusal::Unreadable
    } else {
        Refusal::NotPicture
    };
    // The element first: it knows how large the picture is from the head of the
    // file, before the room for all its pixels is asked for.
    let image = element(address).await.ok_or(no_picture)?;
    let (wide, high) = (
        f64::from(image.natural_width()),
        f64::from(image.natural_height()),
    );
    if wide * high == 0.0 {
        return Err(no_picture);
    }
    if wide * high > MOST_PIXELS {
        return Err(Refusal::TooLarge);
    }
    // A bitmap is decoded beside the page, which stays alive meanwhile. Where
    // that can't be had the element is drawn, turned as well. But a picture that
    // is damaged or cut off is not: the element would show half of it, and the
    // whole one may be thrown away because this one is kept.
    let bitmap = match bitmap(blob).await {
        Ok(bitmap) => Some(bitmap),
        Err(e) if share::error_name(&e) == "InvalidStateError" => return Err(no_picture),
        Err(_) => None,
    };
    let source = bitmap.as_ref().unwrap_or_else(|| image.unchecked_ref());
    let drawn = smaller(source, wide, high);
    if let Some(bitmap) = bitmap {
        bitmap.unchecked_ref::<ImageBitmap>().close();
    }
    let canvas = drawn.ok_or(Refusal::NoMemory)?;
    let (wide, high) = (canvas.width(), canvas.height());
    let blob = jpeg(&canvas).await;
    free(&canvas);
    let blob = blob.ok_or(Refusal::NoMemory)?;
    Ok(Taken { blob, wide, high })
}

/// The picture in an element, once the browser has read it.
async fn element(address: &str) -> Option<HtmlImageElement> {
    let image = HtmlImageElement::new().ok()?;
    let loaded = Promise::new(&mut |done, failed| {
        image.set_onload(Some(&done));
        image.set_onerror(Some(&failed));
    });
    image.set_src(address);
    JsFuture::from(loaded).await.ok()?;
    Some(image)
}

/// The picture's pixels. The wish about turning is said aloud: a browser too
/// old to know it refuses, where it might else leave the picture lying.
async fn bitmap(blob: &Blob) -> Result<JsValue, JsValue> {
    let wish = Object::new();
    set(&wish, "imageOrientation", "from-image");
    let wish: &ImageBitmapOptions = wish.unchecked_ref();
    worker::global("createImageBitmap").ok_or(JsValue::UNDEFINED)?;
    let made = window().create_image_bitmap_with_blob_and_image_bitmap_options(blob, wish)?;
    JsFuture::from(made).await
}

/// Draws the picture so that it fits, on white. It is halved until one smaller
/// step is left: a browser that looks at four pixels for one it draws would
/// skip fine lines in a larger step.
fn smaller(source: &JsValue, wide: f64, high: f64) -> Option<HtmlCanvasElement> {
    let scale = (LONGEST / wide.max(high)).min(1.0);
    let goal = (
        (wide * scale).round().max(1.0),
        (high * scale).round().max(1.0),
    );
    let mut size = (wide, high);
    let mut last: Option<HtmlCanvasElement> = None;
    while last.is_none() || size != goal {
        let half = ((size.0 / 2.0).ceil(), (size.1 / 2.0).ceil());
        size = if half.0 > goal.0 && half.1 > goal.1 {
            half
        } else {
            goal
        };
        let from = last.as_ref().map_or(source, |c| c.as_ref());
        let next = draw(from, size);
        if let Some(old) = &last {
            free(old);
        }
        last = Some(next?);
    }
    last
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "sides of a picture, checked to be whole and small"
)]
fn draw(source: &JsValue, size: (f64, f64)) -> Option<HtmlCanvasElement> {
    let canvas: HtmlCanvasElement = document().create_element("canvas").ok()?.unchecked_into();
    canvas.set_width(size.0 as u32);
    canvas.set_height(size.1 as u32);
    let pen = canvas.get_context("2d").ok()??;
    set(&pen, "imageSmoothingQuality", "high");
    let pen: CanvasRenderingContext2d = pen.unchecked_into();
    // What can be seen through would turn black in a JPEG.
    pen.set_fill_style_str("#fff");
    pen.fill_rect(0.0, 0.0, size.0, size.1);
    // One function of the browser for all kinds of sources.
    let source = source.unchecked_ref();
    pen.draw_image_with_html_canvas_element_and_dw_and_dh(source, 0.0, 0.0, size.0, size.1)
        .ok()?;
    Some(canvas)
}

/// Gives a canvas' memory back now; some phones count it until much later.
fn free(canvas: &HtmlCanvasElement) {
    canvas.set_width(0);
}

async fn jpeg(canvas: &HtmlCanvasElement) -> Option<Blob> {
    let made = Promise::new(&mut |done, failed| {
        let asked = canvas.to_blob_with_type_and_encoder_options(
            &done,
            "image/jpeg",
            &JsValue::from_f64(QUALITY),
        );
        if let Err(error) = asked {
            drop(failed.call1(&JsValue::UNDEFINED, &error));
        }
    });
    JsFuture::from(made).await.ok()?.dyn_into().ok()
}

fn set(object: &Object, name: &str, value: &str) {
    drop(Reflect::set(
        object,
        &JsValue::from_str(name),
        &JsValue::from_str(value),
    ));
}
