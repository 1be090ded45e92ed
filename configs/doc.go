// Package configs holds everything that may change without touching code, as embedded YAML: physical bounds, settings,
// rail sections, wheel designs, shapes of wheels and rails, track as designed, the figures of frogs and switch points,
// costs, the risk matrix, and the limit sets. Every record says where its figures come from (source), what they are
// (kind: regulation, standard, practice or assumed) and how sure they are (sure).
//
// The loader is strict: unknown and doubled keys, aliases, tags and second documents are refused, all of them in one
// list, with line and column. A railroad's own limit files and its railroad.yaml are read by the same loader.
package configs
