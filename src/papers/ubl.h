/* ubl.h - the dossier as OASIS UBL 2.3 documents, and the judge of such documents, ours or of others. */
#ifndef SV_UBL_H
#define SV_UBL_H

#include "base/node.h"
#include "base/world.h"

typedef enum sv_ubl_kind { SV_UBL_DECLARATION, SV_UBL_INVOICE, SV_UBL_PACKING_LIST } sv_ubl_kind;

/* Writes ExportCustomsDeclaration, Invoice or PackingList from the written dossier (docs/dossier.md), valid
 * under UBL 2.3 and 2.4. Same tree, same bytes. `out` is added to. When the dossier lacks what the standard
 * makes mandatory in the document (a sender, a line with its price) nothing is written and *written is false.
 * Errors are the buffer's. No postal operator or customs office is known to take these documents as a filing:
 * they record and exchange. */
SV_MUST_USE sv_status sv_ubl_write(const sv_node *dossier, sv_ubl_kind kind, sv_buf *out, bool *written,
                                   sv_error *err);

/* data-sheet.txt: what to enter with the postal operator before posting, one fact a line, field, tab, value,
 * in the order of the CN 23. */
SV_MUST_USE sv_status sv_data_sheet_write(const sv_node *dossier, sv_buf *out, sv_error *err);

/* Which of the three a document is, by its root element, told from the start of its text; false when none. */
bool sv_ubl_kind_of(const char *head, size_t bytes, sv_ubl_kind *kind);
bool sv_ubl_kind_of_file(const char *path, sv_ubl_kind *kind); /* false for "-" and what cannot be read */

/* Judges an ExportCustomsDeclaration, Invoice or PackingList, ours or of others, without the schemas: its
 * structure by the table ubl/structure (unknown elements, order, number, what is mandatory), values and
 * attributes by ubl/types, codes by ISO 4217, ISO 3166 and ubl/codes, emptiness (rules IND5 to IND9), and
 * what no schema sees: sums, weights, check digits, customs codes and vague descriptions. Faults are findings
 * whose place is the element's path and whose message names the line. `name` stands in errors. SV_BAD_FORMAT
 * when it is not such a document, or not XML. Rooms that are not open in the world are not asked. */
SV_MUST_USE sv_status sv_ubl_check(const sv_world *world, sv_arena *arena, const char *name, const char *text,
                                   size_t bytes, sv_findings *findings, sv_error *err);

SV_MUST_USE sv_status sv_ubl_check_file(const sv_world *world, sv_arena *arena, const char *path,
                                        sv_findings *findings, sv_error *err);

#endif
