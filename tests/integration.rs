//! Tests of parts together, without a browser.

#[path = "integration/access_matrix.rs"]
mod access_matrix;
#[path = "integration/attach.rs"]
mod attach;
#[path = "integration/canary.rs"]
mod canary;
#[path = "integration/changes_told.rs"]
mod changes_told;
#[path = "integration/command_line.rs"]
mod command_line;
#[path = "integration/contract.rs"]
mod contract;
#[path = "integration/count_command.rs"]
mod count_command;
#[path = "integration/count_pages.rs"]
mod count_pages;
#[path = "integration/crash.rs"]
mod crash;
#[path = "integration/day_pages.rs"]
mod day_pages;
#[path = "integration/doors.rs"]
mod doors;
#[path = "integration/drawings.rs"]
mod drawings;
#[path = "integration/drawn_list.rs"]
mod drawn_list;
#[path = "integration/edge_drain.rs"]
mod edge_drain;
#[path = "integration/edge_listening.rs"]
mod edge_listening;
#[path = "integration/edge_requests.rs"]
mod edge_requests;
#[path = "integration/edge_slow.rs"]
mod edge_slow;
#[path = "integration/edge_tls.rs"]
mod edge_tls;
#[path = "integration/edit_pages.rs"]
mod edit_pages;
#[path = "integration/explain_pages.rs"]
mod explain_pages;
#[path = "integration/fitting_list/mod.rs"]
mod fitting_list;
#[path = "integration/gaps_pages.rs"]
mod gaps_pages;
#[path = "integration/german_pages.rs"]
mod german_pages;
#[path = "integration/hostile/mod.rs"]
mod hostile;
#[path = "integration/hostile_doors.rs"]
mod hostile_doors;
#[path = "integration/hostile_names.rs"]
mod hostile_names;
#[path = "integration/hostile_sheets.rs"]
mod hostile_sheets;
#[path = "integration/hostile_uploads.rs"]
mod hostile_uploads;
#[path = "integration/index.rs"]
mod index;
#[path = "integration/keeping.rs"]
mod keeping;
#[path = "integration/kept_pages.rs"]
mod kept_pages;
#[path = "integration/known_items.rs"]
mod known_items;
#[path = "integration/one_document.rs"]
mod one_document;
#[path = "integration/outside_cells.rs"]
mod outside_cells;
#[path = "integration/outside_codes.rs"]
mod outside_codes;
#[path = "integration/outside_contrast.rs"]
mod outside_contrast;
#[path = "integration/outside_encodings.rs"]
mod outside_encodings;
#[path = "integration/outside_evidence.rs"]
mod outside_evidence;
#[path = "integration/outside_gtin.rs"]
mod outside_gtin;
#[path = "integration/outside_minimalist.rs"]
mod outside_minimalist;
#[path = "integration/outside_race_limits.rs"]
mod outside_race_limits;
#[path = "integration/outside_relevance.rs"]
mod outside_relevance;
#[path = "integration/outside_sizes.rs"]
mod outside_sizes;
#[path = "integration/outside_strike.rs"]
mod outside_strike;
#[path = "integration/outside_tables.rs"]
mod outside_tables;
#[path = "integration/outside_units.rs"]
mod outside_units;
#[path = "integration/owner_bench.rs"]
mod owner_bench;
#[path = "integration/owner_pages.rs"]
mod owner_pages;
#[path = "integration/owner_sheets.rs"]
mod owner_sheets;
#[path = "integration/packaging.rs"]
mod packaging;
#[path = "integration/pages.rs"]
mod pages;
#[path = "integration/plans.rs"]
mod plans;
#[path = "integration/policy_pages.rs"]
mod policy_pages;
#[path = "integration/remembered_readings.rs"]
mod remembered_readings;
#[path = "integration/round_trip.rs"]
mod round_trip;
#[path = "integration/runner_refusals/mod.rs"]
mod runner_refusals;
#[path = "integration/safe_log.rs"]
mod safe_log;
#[path = "integration/safe_pages.rs"]
mod safe_pages;
#[path = "integration/safe_passwords.rs"]
mod safe_passwords;
#[path = "integration/same_again.rs"]
mod same_again;
#[path = "integration/sample.rs"]
mod sample;
#[path = "integration/scraped.rs"]
mod scraped;
#[path = "integration/session_pages.rs"]
mod session_pages;
#[path = "integration/settings.rs"]
mod settings;
#[path = "integration/sheet_reader.rs"]
mod sheet_reader;
#[path = "integration/shoes_files.rs"]
mod shoes_files;
#[path = "integration/similar_pages.rs"]
mod similar_pages;
#[path = "integration/size_charts.rs"]
mod size_charts;
#[path = "integration/stops.rs"]
mod stops;
#[path = "integration/supplier_sheets/mod.rs"]
mod supplier_sheets;
#[path = "integration/synonym_pages.rs"]
mod synonym_pages;
#[path = "integration/terminal.rs"]
mod terminal;
#[path = "integration/time_zones.rs"]
mod time_zones;
#[path = "integration/two_tabs.rs"]
mod two_tabs;
#[path = "integration/visit_bench.rs"]
mod visit_bench;
#[path = "integration/watched_over.rs"]
mod watched_over;
#[path = "integration/weight.rs"]
mod weight;
#[path = "integration/words_pages.rs"]
mod words_pages;
#[path = "integration/workbooks.rs"]
mod workbooks;
