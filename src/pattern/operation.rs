//! The operations by name.
//!
//! What each does stands on a floor above; steps, records and advice name them alike.

/// Calls a macro with every operation: its file, its struct, and its name in commands and recipes.
#[macro_export]
macro_rules! for_each_operation {
    ($macro:ident) => {
        $macro! {
            split Split "split",
            add_princess_seam AddPrincessSeam "add-princess-seam",
            dart_to_seam DartToSeam "dart-to-seam",
            pivot_dart PivotDart "pivot-dart",
            move_seam MoveSeam "move-seam",
            merge_at_seamline MergeAtSeamline "merge-at-seamline",
            add_band AddBand "add-band",
            limit_width LimitWidth "limit-width",
            unfold Unfold "unfold",
            fold Fold "fold",
            open_centre OpenCentre "open-centre",
            turn_grain TurnGrain "turn-grain",
            copy_piece CopyPiece "copy-piece",
            add_facing AddFacing "add-facing",
            add_strip AddStrip "add-strip",
            follow Follow "follow",
            set_allowance SetAllowance "set-allowance",
            set_edge SetEdge "set-edge",
            set_corner SetCorner "set-corner",
            set_piece SetPiece "set-piece",
            true_seam TrueSeam "true-seam",
            divide_edge DivideEdge "divide-edge",
            join_edges JoinEdges "join-edges",
            open_seam OpenSeam "open-seam",
            close_seam CloseSeam "close-seam",
            extend_edge ExtendEdge "extend-edge",
            set_pattern SetPattern "set-pattern",
        }
    };
}

macro_rules! name_operations {
    ($($module:ident $operation:ident $name:literal,)+) => {
        /// An operation, named without its fields.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Operation {
            $(
                #[doc = concat!("`", $name, "`")]
                $operation,
            )+
        }

        impl Operation {
            /// All of them.
            pub const ALL: &[Operation] = &[$(Operation::$operation),+];

            /// Its name in commands and recipes.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self { $(Operation::$operation => $name,)+ }
            }
        }
    };
}

for_each_operation!(name_operations);
