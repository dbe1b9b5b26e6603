//! What can go wrong with the store: the one error that SQLite's own stands behind.

use rusqlite::ErrorCode;

use crate::error::ApplyError;
use crate::mapping::MappingFault;

/// The store could not be asked or written.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// SQLite refused.
    #[error("the store cannot be used: {0}. If the disk is full, make room; else restore a backup.")]
    Sqlite(#[from] rusqlite::Error),
    /// A row that this program would not have written.
    #[error("the store holds a {entity} \"{key}\" that cannot be understood. Restore a backup.")]
    Damaged {
        /// style or sku.
        entity: &'static str,
        /// Its key.
        key: String,
    },
    /// What is read is not what was written.
    #[error("{}", .0.join("; "))]
    Decayed(Vec<String>),
    /// A mapping that this program would not have written.
    #[error(transparent)]
    Mapping(#[from] MappingFault),
}

impl From<rusqlite::Error> for ApplyError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Store(StoreError::Sqlite(error))
    }
}

impl StoreError {
    /// The file itself is damaged: making room or trying again does not help.
    pub fn is_damage(&self) -> bool {
        match self {
            Self::Sqlite(fault) => {
                let code = fault.sqlite_error_code();
                matches!(code, Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase))
                    || matches!(
                        fault,
                        rusqlite::Error::FromSqlConversionFailure(..)
                            | rusqlite::Error::InvalidColumnType(..)
                            | rusqlite::Error::IntegralValueOutOfRange(..)
                            | rusqlite::Error::Utf8Error(..)
                    )
            }
            Self::Damaged { .. } | Self::Decayed(_) => true,
            Self::Mapping(_) => false,
        }
    }
}
