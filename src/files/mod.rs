pub mod data;
pub mod dxf;

/// Path of a part's DXF inside the job's folder.
pub fn dxf_path(made: &crate::parts::Made, part: &crate::parts::Part) -> String {
    format!("dxf/{}.dxf", dxf::file_name(made, part))
}
