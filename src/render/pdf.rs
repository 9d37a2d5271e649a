//! Stand-in.
use super::{Meta, Scene};
/// Bytes.
pub fn to_pdf(_scene: &Scene, _meta: &Meta) -> Result<Vec<u8>, String> {
    Ok(vec![])
}
