"""The keys of ``[derived]``: the part that this one was derived from, and as what."""

from flangelayout.flange.joints.derived import DerivedPart
from flangelayout.job.schema.values import Name, SchemaTable, Text


class DerivedTable(SchemaTable):
    """``[derived]``: the parent by number, revision, file and digest, as it was when this part was derived from it."""

    part: DerivedPart
    parent: Name
    revision: Text = ""
    file: Name
    digest: Name
