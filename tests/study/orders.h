/* orders.h: three schedules, each in vats whose cloth comes in an order drawn at random. */
#ifndef VATCAST_TESTS_STUDY_ORDERS_H
#define VATCAST_TESTS_STUDY_ORDERS_H

#define ORDERS_IN_ALL 40
#define ORDERS_PARTS 4

/* Vats part * 10 + 1 to part * 10 + 10 of the forty, under each schedule: whether feeding once a week comes last and the
 * same one of the others always first, whether the books close and explain it. */
void orders_hold(int part);

#endif
