//! Stand-in while the real one is being written.
pub mod pdf;
pub mod png;
pub mod svg;
/// Pages.
#[derive(Clone, Debug, Default)]
pub struct Scene {
    /// Pages.
    pub pages: Vec<()>,
}
/// For the PDF's own data.
#[derive(Clone, Debug, Default)]
pub struct Meta {
    /// Title.
    pub title: String,
    /// Date.
    pub date: Option<String>,
}
