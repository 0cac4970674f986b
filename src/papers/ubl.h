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

#endif
