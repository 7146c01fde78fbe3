//! The one frame of every dialog.

use super::tokens::space;
use egui::{Align, Frame, Id, Layout, Modal, Ui, vec2};

/// A dialog: air of 24 points around it.
pub fn dialog(ui: &Ui, id: &'static str) -> Modal {
    Modal::new(Id::unique(id)).frame(Frame::popup(ui.style()).inner_margin(space::XL))
}

/// The actions at a dialog's foot, from the right: the one that does it first.
pub fn actions<R>(ui: &mut Ui, add: impl FnOnce(&mut Ui) -> R) -> R {
    ui.add_space(space::L);
    let size = vec2(ui.available_width(), 28.0);
    ui.allocate_ui_with_layout(size, Layout::right_to_left(Align::Center), add).inner
}
