//! A pull parser with limits: depth, document types, entities; positions as lines.

use crate::score::problem::{Problems, ReadError};
use backrow_core::halt::Halt;
use quick_xml::Reader;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::cell::Cell;

/// MusicXML itself needs some 15 levels.
const MOST_DEPTH: u32 = 200;
/// Words of a part are short; a longer text is cut.
const MOST_TEXT: usize = 4096;

/// The parser over a whole text.
pub(crate) struct Pull<'a> {
    reader: Reader<&'a [u8]>,
    text: &'a str,
    file: &'a str,
    depth: u32,
    /// Where lines were last counted, and how many there were.
    counted: Cell<(usize, usize)>,
    halt: &'a Halt,
    events: u32,
}

/// So many events go by between two questions whether to go on: some tens of microseconds.
const EVENTS: u32 = 256;

impl<'a> Pull<'a> {
    pub(crate) fn new(file: &'a str, text: &'a str, halt: &'a Halt) -> Self {
        let reader = Reader::from_str(text);
        Self { reader, text, file, depth: 0, counted: Cell::new((0, 1)), halt, events: 0 }
    }

    /// Tells how far the text is read, now and then; an error when the rest is not wanted any more.
    fn goes_on(&mut self) -> Result<(), ReadError> {
        self.events += 1;
        if self.events < EVENTS {
            return Ok(());
        }
        self.events = 0;
        if self.halt.is_asked_after(self.reader.buffer_position(), self.text.len() as u64) {
            return Err(ReadError::new(
                "ended",
                self.line(),
                "the reading was ended",
                "read the score again",
            ));
        }
        Ok(())
    }

    /// How many elements are open.
    pub(crate) const fn depth(&self) -> u32 {
        self.depth
    }

    /// The next event.
    #[inline]
    pub(crate) fn next(&mut self) -> Result<Event<'a>, ReadError> {
        self.goes_on()?;
        match self.reader.read_event() {
            Ok(event) => {
                match &event {
                    Event::Start(_) => {
                        self.depth += 1;
                        if self.depth > MOST_DEPTH {
                            return Err(self.refusal(
                                "too-deep",
                                format!(
                                    "elements are nested more than {MOST_DEPTH} deep, which no score does"
                                ),
                            ));
                        }
                    }
                    Event::End(_) => self.depth = self.depth.saturating_sub(1),
                    Event::DocType(doctype) => self.doctype(&doctype.borrow().into_inner())?,
                    _ => {}
                }
                Ok(event)
            }
            Err(error) => Err(ReadError::new(
                "broken-xml",
                self.place(self.reader.error_position()),
                format!("the XML is broken here: {error}"),
                "copy or export the score again; a file cut off in copying ends like this",
            )),
        }
    }

    /// A score has no use for entities of its own; files that declare them are refused, not expanded.
    fn doctype(&self, text: &str) -> Result<(), ReadError> {
        if text.contains("<!ENTITY") || text.contains("<!entity") {
            return Err(self.refusal(
                "entities",
                "the file declares entities of its own, which a score has no use for".to_owned(),
            ));
        }
        Ok(())
    }

    fn refusal(&self, code: &'static str, what: String) -> ReadError {
        ReadError::new(
            code,
            self.line(),
            what,
            "do not trust this file; get the score again from where it came",
        )
    }

    /// Reads on to the end of the element that was just begun.
    pub(crate) fn skip(&mut self) -> Result<(), ReadError> {
        let outside = self.depth.saturating_sub(1);
        while self.depth > outside {
            if matches!(self.next()?, Event::Eof) {
                return Ok(());
            }
        }
        Ok(())
    }

    /// The text of the element that was just begun, up to its end; elements inside give their text too.
    pub(crate) fn text(&mut self, problems: &mut Problems) -> Result<String, ReadError> {
        let outside = self.depth.saturating_sub(1);
        let mut out = String::new();
        loop {
            match self.next()? {
                Event::End(_) if self.depth == outside => break,
                Event::Eof => break,
                Event::Text(text) if out.len() < MOST_TEXT => out.push_str(&text.xml10_content()),
                Event::CData(text) if out.len() < MOST_TEXT => out.push_str(&text.xml10_content()),
                Event::GeneralRef(entity) => self.entity(&entity, &mut out, problems),
                _ => {}
            }
        }
        let trimmed = out.trim();
        let cut: String = trimmed.chars().take(MOST_TEXT).collect();
        Ok(cut)
    }

    fn entity(&self, entity: &BytesRef<'_>, out: &mut String, problems: &mut Problems) {
        match entity.resolve_char_ref() {
            Ok(Some(c)) => out.push(c),
            Ok(None) => match &*entity.xml10_content() {
                "amp" => out.push('&'),
                "lt" => out.push('<'),
                "gt" => out.push('>'),
                "apos" => out.push('\''),
                "quot" => out.push('"'),
                name => self.bad_entity(name, problems),
            },
            Err(_) => self.bad_entity(&entity.xml10_content(), problems),
        }
    }

    fn bad_entity(&self, name: &str, problems: &mut Problems) {
        let name: String = name.chars().take(40).collect();
        problems.add(
            "entity",
            self.line(),
            format!("the text holds an unknown sign \"&{name};\", which was left out"),
            "write the sign itself",
        );
    }

    /// File and line of the present position.
    pub(crate) fn line(&self) -> String {
        self.place(self.reader.buffer_position())
    }

    fn place(&self, position: u64) -> String {
        let to = usize::try_from(position).unwrap_or(usize::MAX).min(self.text.len());
        // Problems come in the order of the file, so the count goes on from the last one.
        let (from, lines) = self.counted.get();
        let (from, lines) = if from <= to { (from, lines) } else { (0, 1) };
        let bytes = self.text.as_bytes().get(from..to).unwrap_or_default();
        let lines = lines + bytes.split(|b| *b == b'\n').count() - 1;
        self.counted.set((to, lines));
        format!("{}, line {lines}", self.file)
    }
}

/// An attribute's value with the five usual signs resolved; `None` when it is not there.
pub(crate) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    // Looking for doubled names would cost the square of their number.
    element.attributes().with_checks(false).flatten().find(|a| a.key.into_inner() == name).map(|a| {
        quick_xml::escape::unescape(&a.value)
            .map_or_else(|_| a.value.to_string(), std::borrow::Cow::into_owned)
    })
}

/// Whether the element's type is that word.
pub(crate) fn is_type(element: &BytesStart<'_>, word: &str) -> bool {
    element
        .attributes()
        .with_checks(false)
        .flatten()
        .any(|a| a.key.into_inner() == "type" && &*a.value == word)
}

/// Whether an attribute is "yes".
pub(crate) fn is_yes(element: &BytesStart<'_>, name: &str) -> bool {
    attribute(element, name).is_some_and(|value| value == "yes")
}
