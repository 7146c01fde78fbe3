//! Draws the window by the processor alone, for pictures of the guide: triangles of egui's meshes, with premultiplied blending in
//! gamma space as its own painters do.

#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_possible_wrap,
    clippy::many_single_char_names,
    clippy::too_many_arguments,
    clippy::suboptimal_flops,
    reason = "pixels are small numbers, and a triangle has few names"
)]

use egui::epaint::{
    ClippedPrimitive, ImageData, Mesh, Primitive, Vertex,
    textures::{TextureFilter, TexturesDelta},
};
use egui::{Color32, TextureId};
use egui_kittest::TestRenderer;
use std::collections::BTreeMap;

struct Tex {
    size: [usize; 2],
    px: Vec<Color32>,
    nearest: bool,
}
#[derive(Default)]
struct CpuRaster {
    tex: BTreeMap<TextureId, Tex>,
}

impl CpuRaster {
    fn apply(&mut self, delta: &mut TexturesDelta) {
        // In the order of their numbers; which texture is set first makes no difference to the picture.
        let set: BTreeMap<_, _> = delta.set.drain().collect();
        for (id, list) in set {
            for d in list {
                let ImageData::Color(img) = &d.image;
                let nearest = d.options.magnification == TextureFilter::Nearest;
                match d.pos {
                    None => {
                        self.tex.insert(id, Tex { size: img.size, px: img.pixels.clone(), nearest });
                    }
                    Some([x0, y0]) => {
                        let t = self.tex.get_mut(&id).expect("patch of unknown texture");
                        for y in 0..img.size[1] {
                            let dst = (y0 + y) * t.size[0] + x0;
                            t.px[dst..dst + img.size[0]]
                                .copy_from_slice(&img.pixels[y * img.size[0]..(y + 1) * img.size[0]]);
                        }
                    }
                }
            }
        }
        self.tex.retain(|id, _| !delta.free.contains(id));
        delta.free.clear();
    }

    /// Premultiplied RGBA over a transparent background.
    fn paint(&self, w: usize, h: usize, ppp: f32, prims: &[ClippedPrimitive]) -> Vec<[u8; 4]> {
        let mut buf = vec![[0f32; 4]; w * h];
        for p in prims {
            let Primitive::Mesh(mesh) = &p.primitive else { continue };
            let c = p.clip_rect * ppp;
            let clip = [
                c.min.x.round().clamp(0., w as f32) as i32,
                c.min.y.round().clamp(0., h as f32) as i32,
                c.max.x.round().clamp(0., w as f32) as i32,
                c.max.y.round().clamp(0., h as f32) as i32,
            ];
            self.mesh(&mut buf, w, ppp, clip, mesh);
        }
        buf.iter().map(|p| p.map(|v| (v * 255.0 + 0.5) as u8)).collect()
    }

    fn mesh(&self, buf: &mut [[f32; 4]], w: usize, ppp: f32, clip: [i32; 4], mesh: &Mesh) {
        let Some(tex) = self.tex.get(&mesh.texture_id) else { return };
        for t in mesh.indices.as_chunks::<3>().0 {
            let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
            tri(buf, w, ppp, clip, tex, a, b, c);
        }
    }
}

fn f4(c: Color32) -> [f32; 4] {
    c.to_array().map(|v| f32::from(v) / 255.0)
}

fn sample(t: &Tex, u: f32, v: f32) -> [f32; 4] {
    let (w, h) = (t.size[0] as i32, t.size[1] as i32);
    let at = |x: i32, y: i32| f4(t.px[y.clamp(0, h - 1) as usize * w as usize + x.clamp(0, w - 1) as usize]);
    if t.nearest {
        return at((u * w as f32).floor() as i32, (v * h as f32).floor() as i32);
    }
    let (x, y) = (u * w as f32 - 0.5, v * h as f32 - 0.5);
    let (x0, y0) = (x.floor(), y.floor());
    let (fx, fy) = (x - x0, y - y0);
    let (x0, y0) = (x0 as i32, y0 as i32);
    let (p00, p10, p01, p11) = (at(x0, y0), at(x0 + 1, y0), at(x0, y0 + 1), at(x0 + 1, y0 + 1));
    std::array::from_fn(|i| {
        let top = p00[i] + (p10[i] - p00[i]) * fx;
        let bot = p01[i] + (p11[i] - p01[i]) * fx;
        top + (bot - top) * fy
    })
}

fn tri(buf: &mut [[f32; 4]], w: usize, ppp: f32, clip: [i32; 4], tex: &Tex, a: Vertex, b: Vertex, c: Vertex) {
    // 1/256 px fixed point so that shared edges are exact
    let q = |v: f32| (v * ppp * 256.0).round() as i64;
    let mut p = [(q(a.pos.x), q(a.pos.y)), (q(b.pos.x), q(b.pos.y)), (q(c.pos.x), q(c.pos.y))];
    let mut vs = [a, b, c];
    let area = (p[1].0 - p[0].0) * (p[2].1 - p[0].1) - (p[1].1 - p[0].1) * (p[2].0 - p[0].0);
    if area == 0 {
        return;
    }
    if area < 0 {
        p.swap(1, 2);
        vs.swap(1, 2);
    }
    let area = area.abs();
    let minx = (p.iter().map(|p| p.0).min().unwrap().div_euclid(256) as i32).max(clip[0]);
    let maxx = (p.iter().map(|p| p.0).max().unwrap().div_euclid(256) as i32 + 1).min(clip[2]);
    let miny = (p.iter().map(|p| p.1).min().unwrap().div_euclid(256) as i32).max(clip[1]);
    let maxy = (p.iter().map(|p| p.1).max().unwrap().div_euclid(256) as i32 + 1).min(clip[3]);
    if minx >= maxx || miny >= maxy {
        return;
    }
    // edge i is opposite vertex i; top-left rule as a bias
    let e: [_; 3] = std::array::from_fn(|i| {
        let (s, t) = (p[(i + 1) % 3], p[(i + 2) % 3]);
        let (dx, dy) = (t.0 - s.0, t.1 - s.1);
        let top_left = dy < 0 || (dy == 0 && dx > 0);
        (s, dx, dy, if top_left { 0 } else { -1 })
    });
    let cols = vs.map(|v| f4(v.color));
    let flat_uv = vs[0].uv == vs[1].uv && vs[1].uv == vs[2].uv;
    let flat_t = flat_uv.then(|| sample(tex, vs[0].uv.x, vs[0].uv.y));
    for y in miny..maxy {
        let py = i64::from(y) * 256 + 128;
        for x in minx..maxx {
            let px = i64::from(x) * 256 + 128;
            let wv: [i64; 3] = std::array::from_fn(|i| {
                let (s, dx, dy, _) = e[i];
                dx * (py - s.1) - dy * (px - s.0)
            });
            if (0..3).any(|i| wv[i] + e[i].3 < 0) {
                continue;
            }
            let l: [f32; 3] = wv.map(|v| v as f32 / area as f32);
            let t = flat_t.unwrap_or_else(|| {
                sample(
                    tex,
                    l[0] * vs[0].uv.x + l[1] * vs[1].uv.x + l[2] * vs[2].uv.x,
                    l[0] * vs[0].uv.y + l[1] * vs[1].uv.y + l[2] * vs[2].uv.y,
                )
            });
            let src: [f32; 4] =
                std::array::from_fn(|i| t[i] * (l[0] * cols[0][i] + l[1] * cols[1][i] + l[2] * cols[2][i]));
            let d = &mut buf[y as usize * w + x as usize];
            let k = 1.0 - src[3];
            for i in 0..4 {
                d[i] = src[i] + d[i] * k;
            }
        }
    }
}

/// The window's painter.
#[derive(Default)]
pub(crate) struct Cpu(CpuRaster);

impl TestRenderer for Cpu {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        self.0.apply(delta);
    }

    fn render(&mut self, ctx: &egui::Context, output: &egui::FullOutput) -> Result<image::RgbaImage, String> {
        let scale = ctx.pixels_per_point();
        let size = ctx.content_rect().size() * scale;
        let (wide, high) = (size.x.round() as u32, size.y.round() as u32);
        let meshes = ctx.tessellate(output.shapes.clone(), scale);
        let pixels = self.0.paint(wide as usize, high as usize, scale, &meshes);
        image::RgbaImage::from_raw(wide, high, pixels.into_flattened())
            .ok_or_else(|| "another size".to_owned())
    }
}
