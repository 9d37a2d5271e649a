//! Stand-in while the real one is being written.
use crate::render::Scene;
use crate::setup::Setup;

/// What card is wanted.
#[derive(Clone, Debug, Default)]
pub struct CardRequest {
    /// Width and height.
    pub size_mm: Option<[f64; 2]>,
    /// Say NOT CHECKED.
    pub draft: bool,
    /// Name and text of the builder's own template.
    pub template: Option<(String, String)>,
}
/// Why there is no card.
#[derive(Clone, Debug)]
pub struct DocumentError {
    /// What.
    pub message: String,
    /// Name and text of the template, and the bytes in it.
    pub place: Option<(String, String, std::ops::Range<usize>)>,
    /// What to do.
    pub help: Option<String>,
}
/// The card.
pub fn card(_setup: &Setup, _request: &CardRequest) -> Result<Scene, DocumentError> {
    Ok(Scene::default())
}
