/* ubl_parts.h - the parts that the three documents share, private to their writers. */
#ifndef SV_UBL_PARTS_H
#define SV_UBL_PARTS_H

#include "base/node.h"
#include "papers/ubl_pen.h"

/* The sender, as element `element` of type Party; with the scheme numbers under which tax was collected. */
void sv_ubl_sender(sv_pen *pen, const char *element, const sv_node *dossier);
void sv_ubl_addressee(sv_pen *pen, const char *element, const sv_node *dossier);
void sv_ubl_item(sv_pen *pen, const sv_node *line);
/* The shipment: the consignment with totals, a goods item for each line, the package. `declared`: with
 * customs values, charges and instructions, as a declaration has them. */
void sv_ubl_shipment(sv_pen *pen, const sv_node *dossier, bool declared);
/* A document reference; nothing when `id` is blank. */
void sv_ubl_document(sv_pen *pen, const char *element, const char *id, const char *code, const char *type);
/* The sentences that every paper carries, as one note (rule IND7: no repeated note in one language). */
void sv_ubl_cautions(sv_pen *pen, const sv_node *dossier);
void sv_ubl_amount(sv_pen *pen, const char *element, const sv_node *dossier, const char *amount);

#endif
