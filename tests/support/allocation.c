#include "allocation.h"

#include <errno.h>
#include <stdatomic.h>
#include <stddef.h>
#include <stdint.h>

/* The C library's own, by the names that it keeps for this (glibc). */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *block, size_t size);
extern void *__libc_memalign(size_t alignment, size_t size);
extern void __libc_free(void *block);

void *malloc(size_t size);
void *calloc(size_t count, size_t size);
void *realloc(void *block, size_t size);
void *aligned_alloc(size_t alignment, size_t size);
int posix_memalign(void **block, size_t alignment, size_t size);
void free(void *block);

/* Blocks held, by open addressing; a table of fixed size, since this must not
 * allocate. Taken out by moving up what follows (Knuth, vol. 3, 6.4 R). */
enum { SLOTS = 1 << 20 };

static void *held[SLOTS];
static struct allocation_report report;
static long fail_at;
static enum allocation_failure how;
static bool armed;
static atomic_flag lock = ATOMIC_FLAG_INIT;

static void enter(void)
{
    while (atomic_flag_test_and_set_explicit(&lock, memory_order_acquire))
        ;
}

static void leave(void)
{
    atomic_flag_clear_explicit(&lock, memory_order_release);
}

static size_t home(const void *block)
{
    return (size_t)(((uintptr_t)block >> 4) * UINT64_C(0x9e3779b97f4a7c15) >> 44) % SLOTS;
}

static void add(void *block)
{
    size_t slot = home(block);
    /* A full table would loop for ever; far fewer blocks are ever held. */
    while (held[slot] != NULL)
        slot = (slot + 1) % SLOTS;
    held[slot] = block;
    report.held++;
}

static bool take_out(void *block)
{
    size_t slot = home(block);
    while (held[slot] != NULL && held[slot] != block)
        slot = (slot + 1) % SLOTS;
    if (held[slot] == NULL)
        return false;
    size_t gap = slot;
    for (size_t next = (gap + 1) % SLOTS; held[next] != NULL; next = (next + 1) % SLOTS) {
        if ((next - home(held[next]) + SLOTS) % SLOTS >= (next - gap + SLOTS) % SLOTS) {
            held[gap] = held[next];
            gap = next;
        }
    }
    held[gap] = NULL;
    report.held--;
    return true;
}

/* Whether the allocation that is asked for is one that has to fail. */
static bool has_to_fail(void)
{
    enter();
    bool fail = false;
    if (armed) {
        report.count++;
        fail = fail_at > 0 &&
               (report.count == fail_at || (report.count > fail_at && how == FAIL_FROM_THEN_ON));
        report.failed = report.failed || fail;
    }
    leave();
    if (fail)
        errno = ENOMEM;
    return fail;
}

static void *remember(void *block)
{
    enter();
    if (armed && block != NULL)
        add(block);
    leave();
    return block;
}

void *malloc(size_t size)
{
    return has_to_fail() ? NULL : remember(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
    return has_to_fail() ? NULL : remember(__libc_calloc(count, size));
}

void *aligned_alloc(size_t alignment, size_t size)
{
    return has_to_fail() ? NULL : remember(__libc_memalign(alignment, size));
}

int posix_memalign(void **block, size_t alignment, size_t size)
{
    void *made = aligned_alloc(alignment, size);
    if (made == NULL)
        return ENOMEM;
    *block = made;
    return 0;
}

void *realloc(void *block, size_t size)
{
    if (has_to_fail())
        return NULL;
    enter();
    bool known = armed && block != NULL && take_out(block);
    leave();
    void *moved = __libc_realloc(block, size);
    /* A block from before stays one from before. */
    if (known || block == NULL)
        remember(moved != NULL ? moved : block);
    return moved;
}

void free(void *block)
{
    enter();
    if (armed && block != NULL)
        take_out(block);
    leave();
    __libc_free(block);
}

void allocation_arm(long nth, enum allocation_failure failure)
{
    enter();
    for (size_t i = 0; i < SLOTS; i++)
        held[i] = NULL;
    report = (struct allocation_report){0};
    fail_at = nth;
    how = failure;
    armed = true;
    leave();
}

struct allocation_report allocation_disarm(void)
{
    enter();
    armed = false;
    struct allocation_report result = report;
    leave();
    return result;
}
