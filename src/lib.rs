//! Re-cuts sewing-pattern pieces.
