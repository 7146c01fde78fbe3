//! Thousands of marks in one mesh: each material has its colour and its shape; what a model made is hollow.

use crate::theme::Tokens;
use backrow_core::collection::Material;
use egui::epaint::{Mesh, Vertex, WHITE_UV};
use egui::{Color32, Pos2, Vec2, vec2};

/// One mark, where it stands in the plot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dot {
    /// Its place among all that was heard.
    pub(super) at: usize,
    /// On the axes' own scales.
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) material: Material,
    pub(super) hollow: bool,
}

/// Corners and turn, in quarter turns, of a material's shape; as many shapes as there are colours.
const fn shape(material: Material) -> (u8, f32) {
    match material {
        Material::Rosewood => (12, 0.0),
        Material::Padauk | Material::Wood => (4, 0.5),
        Material::Synthetic | Material::Mixed => (5, -1.0),
        Material::Aluminium | Material::Glass => (4, 0.0),
        Material::Steel => (3, -1.0),
        Material::Brass => (3, 1.0),
        Material::Bronze => (6, 0.0),
        Material::Skin => (8, 0.25),
    }
}

/// The word for a shape, for the legend.
pub(super) const fn shape_word(material: Material) -> &'static str {
    match material {
        Material::Rosewood => "disc",
        Material::Padauk | Material::Wood => "square",
        Material::Synthetic | Material::Mixed => "pentagon",
        Material::Aluminium | Material::Glass => "diamond",
        Material::Steel => "triangle",
        Material::Brass => "triangle on its point",
        Material::Bronze => "hexagon",
        Material::Skin => "octagon",
    }
}

/// The corners of a material's shape, `radius` points from its middle.
fn corners(material: Material, radius: f32) -> impl Iterator<Item = Vec2> {
    let (count, turn) = shape(material);
    (0..count).map(move |nth| {
        let angle =
            std::f32::consts::TAU * (f32::from(nth) / f32::from(count)) + turn * std::f32::consts::FRAC_PI_2;
        let (sin, cos) = angle.sin_cos();
        vec2(cos, sin) * radius
    })
}

/// Every material's corners once, for many marks of one size.
pub(super) struct Shapes {
    rows: Vec<(Material, Vec<Vec2>, Color32)>,
}

impl Shapes {
    pub(super) fn new(tokens: &Tokens, radius: f32) -> Self {
        let row = |material: &Material| {
            let ink = tokens.material(*material);
            let ink = if tokens.is_pale(*material) { Tokens::mix(ink, tokens.ink, 0.45) } else { ink };
            (*material, corners(*material, radius).collect(), ink)
        };
        Self { rows: Material::ALL.iter().map(row).collect() }
    }

    /// Adds a mark to a mesh.
    pub(super) fn add(&self, mesh: &mut Mesh, at: Pos2, material: Material, hollow: bool) {
        let Some((_, corners, ink)) = self.rows.iter().find(|(own, ..)| *own == material) else { return };
        if hollow { ring(mesh, at, corners, *ink) } else { fan(mesh, at, corners, *ink) }
    }
}

fn vertex(mesh: &mut Mesh, pos: Pos2, color: Color32) -> u32 {
    let at = u32::try_from(mesh.vertices.len()).unwrap_or(u32::MAX);
    mesh.vertices.push(Vertex { pos, uv: WHITE_UV, color });
    at
}

fn fan(mesh: &mut Mesh, at: Pos2, corners: &[Vec2], ink: Color32) {
    let first = u32::try_from(mesh.vertices.len()).unwrap_or(u32::MAX);
    for corner in corners {
        vertex(mesh, at + *corner, ink);
    }
    let count = u32::try_from(corners.len()).unwrap_or(0);
    for nth in 2..count {
        mesh.add_triangle(first, first + nth - 1, first + nth);
    }
}

fn ring(mesh: &mut Mesh, at: Pos2, corners: &[Vec2], ink: Color32) {
    let first = u32::try_from(mesh.vertices.len()).unwrap_or(u32::MAX);
    for corner in corners {
        vertex(mesh, at + *corner, ink);
        vertex(mesh, at + *corner * 0.62, ink);
    }
    let count = u32::try_from(corners.len()).unwrap_or(0);
    for nth in 0..count {
        let (one, next) = (first + 2 * nth, first + 2 * ((nth + 1) % count));
        mesh.add_triangle(one, one + 1, next);
        mesh.add_triangle(one + 1, next, next + 1);
    }
}

/// A ring around a mark that is chosen or found.
pub(super) fn around(mesh: &mut Mesh, at: Pos2, radius: f32, ink: Color32) {
    let corners: Vec<Vec2> = (0..16_u8)
        .map(|nth| {
            let (sin, cos) = (std::f32::consts::TAU * f32::from(nth) / 16.0).sin_cos();
            vec2(cos, sin) * radius
        })
        .collect();
    let first = u32::try_from(mesh.vertices.len()).unwrap_or(u32::MAX);
    for corner in &corners {
        vertex(mesh, at + *corner, ink);
        vertex(mesh, at + *corner * (1.0 - 1.6 / radius.max(3.0)), ink);
    }
    for nth in 0..16 {
        let (one, next) = (first + 2 * nth, first + 2 * ((nth + 1) % 16));
        mesh.add_triangle(one, one + 1, next);
        mesh.add_triangle(one + 1, next, next + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Materials of different colours have different shapes: the map is read without colour.
    #[test]
    fn colours_and_shapes_go_together() {
        let tokens = Tokens::PAPER;
        let pairs: BTreeSet<([u8; 4], &str)> = Material::ALL
            .iter()
            .map(|material| (tokens.material(*material).to_array(), shape_word(*material)))
            .collect();
        let shapes: BTreeSet<&str> = pairs.iter().map(|(_, shape)| *shape).collect();
        assert_eq!((pairs.len(), shapes.len()), (8, 8));
    }

    #[test]
    fn marks_are_whole_triangles_within_their_mesh() {
        let shapes = Shapes::new(&Tokens::STAGE, 4.0);
        let mut mesh = Mesh::default();
        for material in Material::ALL {
            shapes.add(&mut mesh, Pos2::ZERO, material, false);
            shapes.add(&mut mesh, Pos2::ZERO, material, true);
        }
        assert!(mesh.is_valid() && mesh.indices.len() % 3 == 0);
    }
}
